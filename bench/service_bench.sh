#!/usr/bin/env bash
# The service under load, against the bare HTTP library in the same run, and how long one plan of a
# table being typed takes. Needs wrk, curl and python3.
#   bench/service_bench.sh PATH/TO/bight PATH/TO/bare_server
set -euo pipefail
bight=$1 bare=$2
seconds=${BIGHT_BENCH_SECONDS:-5}
folder=$(mktemp -d)
pids=()
finish() {
  for pid in "${pids[@]}"; do kill "$pid" 2>/dev/null && wait "$pid" 2>/dev/null || true; done
  rm -rf "$folder"
}
trap finish EXIT

env -u BIGHT_STORE "$bight" serve --demo --data "$folder/data" --port 0 --log /dev/null \
  >"$folder/out" &
pids+=($!)
until grep -q answers "$folder/out"; do sleep 0.1; done
service=$(grep -o 'http://[^ ]*' "$folder/out")
list="${service}api/v1/parts?limit=50"
curl -s "$list" -o "$folder/list"
bytes=$(stat -c %s "$folder/list")
"$bare" "$bytes" >"$folder/bare" &
pids+=($!)
until [ -s "$folder/bare" ]; do sleep 0.1; done

rate() { wrk -t2 -c200 -d"${seconds}s" "$1" | awk '/Requests\/sec/ {print $2}'; }
alone=$(rate "http://127.0.0.1:$(cat "$folder/bare")/")
served=$(rate "$list")
echo "list of parts, $bytes bytes, 200 connections:"
echo "  bare library $alone replies/s, service $served replies/s:" \
  "$(awk -v a="$served" -v b="$alone" 'BEGIN {printf "%.0f %%", 100 * a / b}')"

python3 - "$service" <<'PY'
import http.client, json, statistics, sys, time
host = sys.argv[1].split("//")[1].rstrip("/")
connection = http.client.HTTPConnection(host)
def ask(path, body):
    start = time.perf_counter()
    connection.request("POST", "/api/v1" + path, json.dumps(body),
                       {"Content-Type": "application/json"})
    reply = connection.getresponse()
    reply.read()
    return (time.perf_counter() - start) * 1e3
part = {"schema": 1, "name": "Rail", "tube": {"size": "38.1 x 1.5", "material": "304L annealed"},
        "line": {"bends": [{"straight": 250, "rotation": 90 * (i % 2), "angle": 60}
                           for i in range(5)], "last": 300, "radius": 114}}
for path in ("/part/check", "/plan"):
    times = []
    for i in range(40):
        part["line"]["bends"][2]["angle"] = 60 + i / 2  # a cell being typed
        times.append(ask(path, {"part": part}))
    print(f"POST {path}: median {statistics.median(times):.1f} ms, worst {max(times):.1f} ms")
PY
