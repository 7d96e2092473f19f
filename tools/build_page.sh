#!/usr/bin/env bash
# Builds the page into web/dist; does nothing when nothing of it changed since.
set -euo pipefail
cd "$(dirname "$0")/../web"

if ! command -v node >/dev/null; then
  echo "build_page: node is missing; the page needs Node.js 20.19 or newer" >&2
  exit 1
fi
node -e '
const [major, minor] = process.versions.node.split(".").map(Number);
process.exit(major > 20 || (major === 20 && minor >= 19) ? 0 : 1);' || {
  echo "build_page: Node.js $(node --version) is too old; the page needs 20.19 or newer" >&2
  exit 1
}

# What the build reads, in one hash.
state=$(find index.html package.json package-lock.json svelte.config.js tsconfig.json \
  vite.config.ts src public tools -type f ! -name '*.test.ts' -print0 |
  LC_ALL=C sort -z | xargs -0 sha256sum | sha256sum | cut -d' ' -f1)
[ -f dist/index.html ] && [ "$(cat node_modules/.bight-built 2>/dev/null)" = "$state" ] && exit 0

lock=$(sha256sum package-lock.json | cut -d' ' -f1)
if [ "$(cat node_modules/.bight-lock 2>/dev/null)" != "$lock" ]; then
  npm ci --silent --no-audit --no-fund
  echo "$lock" >node_modules/.bight-lock
fi
rm -f node_modules/.bight-built
npm run --silent build
echo "$state" >node_modules/.bight-built
