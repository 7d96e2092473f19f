#!/usr/bin/env bash
# The service under load, against the bare HTTP library in the same run, and how long one plan of a
# table being typed takes. Needs wrk, curl and python3.
#   bench/service_bench.sh PATH/TO/bight PATH/TO/bare_server
set -euo pipefail
bight=$1 bare=$2
seconds=${BIGHT_BENCH_SECONDS:-5}
[ -x "$bight" ] && [ -x "$bare" ] || { echo "no such programs: $bight $bare" >&2; exit 1; }
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

# A shop of 100 000 jobs, searched while typing: the demo's parts again and again, each with a number
# in its name. Written past the service, which would take minutes.
env -u BIGHT_STORE "$bight" serve --demo --data "$folder/many" --port 0 --log /dev/null \
  >"$folder/many.out" &
pids+=($!)
until grep -q answers "$folder/many.out"; do sleep 0.1; done
kill "${pids[-1]}" && wait "${pids[-1]}" 2>/dev/null || true
unset 'pids[-1]'
python3 - "$folder/many/bight.db" <<'PY'
import sqlite3, sys
jobs = 100_000
shop = sqlite3.connect(sys.argv[1])
shop.execute("PRAGMA synchronous = OFF")
def rows(table, where):
    names = [row[1] for row in shop.execute(f"PRAGMA table_info({table})")]
    return names, [dict(zip(names, row)) for row in shop.execute(f"SELECT * FROM {table} {where}")]
def write(table, names, made):
    marks = ",".join("?" * len(names))
    shop.executemany(f"INSERT INTO {table} VALUES ({marks})",
                     ([row[name] for name in names] for row in made))
change = shop.execute("SELECT change FROM bight_state").fetchone()[0]
record_names, records = rows("bight_record", "WHERE kind = 'part'")
revision_names, revisions = rows("bight_revision", "WHERE kind = 'part' AND revision = 1")
part_names, parts = rows("bight_part", "")
by_id = lambda found: {row["id"]: row for row in found}
record_of, revision_of = by_id(records), by_id(revisions)
usable = [row for row in parts if row["id"] in revision_of]
def copies(of):
    for i in range(jobs):
        part = usable[i % len(usable)]
        new = {"id": f"job{i}", "change": change + 1 + i, "revision": 1}
        if of == "part":
            new = {"id": new["id"], "name": f"{part['name']} {i}", "search": f"{part['search']} {i}"}
        yield {**{"part": part, "record": record_of[part["id"]],
                  "revision": revision_of[part["id"]]}[of], **new, **(
                      {"content_of": 1} if of == "revision" else {})}
write("bight_record", record_names, copies("record"))
write("bight_revision", revision_names, copies("revision"))
write("bight_part", part_names, copies("part"))
shop.execute("UPDATE bight_state SET change = ?", (change + jobs,))
shop.commit()
PY
env -u BIGHT_STORE "$bight" serve --data "$folder/many" --port 0 --log /dev/null \
  >"$folder/many.out" &
pids+=($!)
until grep -q answers "$folder/many.out"; do sleep 0.1; done
python3 - "$(grep -o 'http://[^ ]*' "$folder/many.out")" <<'PY'
import http.client, json, statistics, sys, time, urllib.parse
connection = http.client.HTTPConnection(sys.argv[1].split("//")[1].rstrip("/"))
def ask(words):
    start = time.perf_counter()
    connection.request("GET", "/api/v1/parts?limit=50&words=" + urllib.parse.quote(words))
    reply = connection.getresponse()
    found = json.loads(reply.read())
    return (time.perf_counter() - start) * 1e3, found["total"]
first, total = ask("")
print(f"100 000 jobs: first list after the start {first:.1f} ms, {total} found")
for words in ("38.1", "38.1 304", "38.1 304 R114", "rail", "rail 7", "nothing like it"):
    answers = [ask(words) for _ in range(20)]
    times = [answer[0] for answer in answers]
    print(f'  "{words}": median {statistics.median(times):.1f} ms, worst {max(times):.1f} ms,'
          f" {answers[0][1]} found")
PY
