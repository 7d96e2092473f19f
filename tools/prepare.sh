#!/usr/bin/env bash
# prepare.sh build|check: installs what is missing of tools/packages.txt, quietly, and nothing else.
set -euo pipefail
wanted=$1
here=$(cd "$(dirname "$0")" && pwd)

# Another build of a package may provide it under its own name (nodejs with npm inside).
provided=" $(dpkg-query -W -f='${db:Status-Status} ${Provides}\n' | sed -n 's/^installed //p' |
  tr -d ',' | tr '\n' ' ') "
missing=()
while read -r package _; do
  dpkg-query -W -f='${Status}' "$package" 2>/dev/null | grep -q 'install ok installed' ||
    [[ $provided == *" $package "* ]] || missing+=("$package")
done < <(grep -v '^#' "$here/packages.txt" | awk -v wanted="$wanted" \
  'NF && ($NF == "build" || $NF == wanted)')
[ ${#missing[@]} -eq 0 ] && exit 0

command -v apt-get >/dev/null || {
  echo "Bight is built on Debian 12; apt-get was not found here." >&2
  echo "Install the counterparts of: ${missing[*]}" >&2
  exit 1
}
as_root=()
if [ "$(id -u)" -ne 0 ]; then
  if command -v sudo >/dev/null && sudo -n true 2>/dev/null; then
    as_root=(sudo)
  else
    echo "These packages are missing and only root can install them. Please run:" >&2
    echo "  sudo apt-get install ${missing[*]}" >&2
    exit 1
  fi
fi
echo "Installing ${#missing[@]} packages: ${missing[*]}"
log=$(mktemp)
trap 'rm -f "$log"' EXIT
export DEBIAN_FRONTEND=noninteractive
if ! { "${as_root[@]}" apt-get update -qq &&
  "${as_root[@]}" apt-get install -y -qq --no-install-recommends "${missing[@]}"; } \
  >"$log" 2>&1; then
  cat "$log" >&2
  echo "The packages could not be installed; the lines above say why." >&2
  exit 1
fi
