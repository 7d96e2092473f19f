import { mount } from "svelte";
import App from "./App.svelte";
import "./look.css";

mount(App, { target: document.getElementById("page")! });

if ("serviceWorker" in navigator && import.meta.env.PROD) {
  void navigator.serviceWorker.register("./sw.js");
}
