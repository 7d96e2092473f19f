#!/usr/bin/env bash
# with_postgresql.sh COMMAND…: runs the command with a private PostgreSQL server on loopback, named
# by BIGHT_TEST_POSTGRESQL. The server lives in a temporary folder, runs as an unprivileged user and
# is stopped, with everything in it, when the command ends. Exit code: the command's.
set -euo pipefail
[ $# -gt 0 ] || { echo "usage: $0 COMMAND…" >&2; exit 1; }

programs=${BIGHT_POSTGRESQL_BIN:-/usr/lib/postgresql/15/bin}
[ -x "$programs/postgres" ] || { echo "No PostgreSQL 15 in $programs." >&2; exit 1; }

folder=$(mktemp -d)
started=
finish() {
  # pg_ctl stops the server whose process id stands in this very folder, no other.
  [ -z "$started" ] || "${as[@]}" "$programs/pg_ctl" -D "$folder/data" -m immediate -w stop \
    >/dev/null 2>&1 || true
  rm -rf "$folder"
}
trap finish EXIT
trap 'exit 130' INT
trap 'exit 143' TERM

# The server refuses to run as root.
as=()
if [ "$(id -u)" -eq 0 ]; then
  for user in postgres nobody; do
    id "$user" >/dev/null 2>&1 && break
  done
  as=(setpriv --reuid="$user" --regid="$(id -g "$user")" --clear-groups --)
  chown "$user" "$folder"
fi
cd "$folder" # a folder the server's user may stand in
as=(env "HOME=$folder" LC_ALL=C.UTF-8 "${as[@]}")
"${as[@]}" "$programs/initdb" -D "$folder/data" -U bight --auth=trust --encoding=UTF8 \
  --no-sync >"$folder/initdb.log" 2>&1 || { cat "$folder/initdb.log" >&2; exit 1; }

# A port found free may be taken a moment later: another is tried then.
for attempt in 1 2 3 4 5; do
  port=$((20000 + (RANDOM + $$ + attempt) % 30000))
  if "${as[@]}" "$programs/pg_ctl" -D "$folder/data" -w -t 30 -l "$folder/server.log" -o \
    "-h 127.0.0.1 -p $port -k '$folder' -c max_connections=60" start >/dev/null 2>&1; then
    started=yes
    break
  fi
done
[ -n "$started" ] || { cat "$folder/server.log" >&2; exit 1; }

export BIGHT_TEST_POSTGRESQL="postgresql://bight@127.0.0.1:$port/postgres"
cd "$OLDPWD"
code=0
"$@" || code=$?
exit $code
