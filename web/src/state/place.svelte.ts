// Where the page is; follows the address and moves it.
import { readRoute, routeHash, type Route } from "../model/route";

class Place {
  route = $state<Route>(readRoute(location.hash));

  constructor() {
    addEventListener("hashchange", () => (this.route = readRoute(location.hash)));
  }
}

export const place = new Place();

export function go(route: Route): void {
  location.hash = routeHash(route);
}
