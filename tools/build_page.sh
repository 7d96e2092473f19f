#!/usr/bin/env bash
# Builds the page into web/dist; does nothing when nothing of it changed since.
set -euo pipefail
cd "$(dirname "$0")/../web"

PATH=$(../tools/node_path.sh):$PATH

# What the build reads, in one hash.
state=$(find index.html package.json package-lock.json svelte.config.js tsconfig.json \
  vite.config.ts src public tools -type f ! -name '*.test.ts' -print0 |
  LC_ALL=C sort -z | xargs -0 sha256sum | sha256sum | cut -d' ' -f1)
[ -f dist/index.html ] && [ "$(cat node_modules/.bight-built 2>/dev/null)" = "$state" ] && exit 0

lock=$(sha256sum package-lock.json | cut -d' ' -f1)
if [ "$(cat node_modules/.bight-lock 2>/dev/null)" != "$lock" ]; then
  npm ci --loglevel=error --no-audit --no-fund
  echo "$lock" >node_modules/.bight-lock
fi
rm -f node_modules/.bight-built
npm run --silent build
echo "$state" >node_modules/.bight-built
