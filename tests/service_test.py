"""Drives `bight serve` over the wire and holds every answer to docs/formats/openapi.yaml.

Needs BIGHT=program. With BIGHT_TEST_POSTGRESQL (tools/with_postgresql.sh sets it) the same is done
on PostgreSQL, too.
"""

import http.client
import json
import os
import pathlib
import re
import shutil
import signal
import socket
import ssl
import subprocess
import tempfile
import threading
import time
import unittest
import urllib.parse

import jsonschema
import yaml

ROOT = pathlib.Path(__file__).resolve().parent.parent
BIGHT = os.environ["BIGHT"]
CONTRACT = yaml.safe_load((ROOT / "docs/formats/openapi.yaml").read_text())
FORMATS = ROOT / "docs/formats"


STORE = {"contract": CONTRACT}
for name in ("part.schema.json", "plan.schema.json", "shop.schema.json", "correction.schema.json",
             "inspection.schema.json", "clear.schema.json", "film.schema.json",
             "lessons.schema.json", "run.schema.json"):
    STORE[name] = json.loads((FORMATS / name).read_text())


def resolved(node):
    """The component that a reference of the contract itself names."""
    while "$ref" in node:
        at = CONTRACT
        for step in node["$ref"].removeprefix("#/").split("/"):
            at = at[step.replace("~1", "/")]
        node = at
    return node


def absolute(schema):
    """The schema with its references made from the contract's root."""
    if isinstance(schema, dict):
        return {
            k: ("contract" + v if k == "$ref" and v.startswith("#") else absolute(v))
            for k, v in schema.items()
        }
    return [absolute(v) for v in schema] if isinstance(schema, list) else schema


def validate(body, schema):
    resolver = jsonschema.RefResolver("", {}, store=STORE)
    jsonschema.Draft202012Validator(absolute(schema), resolver=resolver).validate(body)


def operations():
    for path, item in CONTRACT["paths"].items():
        for method in ("get", "post", "put", "delete"):
            if method in item:
                yield path, method, item[method]


def operation_of(method, path):
    for pattern, verb, operation in operations():
        shape = re.sub(r"\\\{\w+\\\}", "[^/]+", re.escape(pattern))
        if verb == method.lower() and re.fullmatch(shape, path):
            return operation
    return None


CALLED = set()


class Answer:
    def __init__(self, status, headers, body):
        self.status = status
        self.headers = headers
        self.body = body

    def json(self):
        return json.loads(self.body)


class Service:
    """The program serving a folder; ends with the block."""

    def __init__(self, folder, *args, store=None):
        self.folder = pathlib.Path(folder)
        environment = {k: v for k, v in os.environ.items() if k != "BIGHT_STORE"}
        if store:
            environment["BIGHT_STORE"] = store
        self.log = self.folder / "log.jsonl"
        self.process = subprocess.Popen(
            [BIGHT, "serve", "--data", folder, "--port", "0", "--log", self.log, *map(str, args)],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            env=environment,
        )
        first = self.process.stdout.readline()
        found = re.search(r"(https?)://\S*:(\d+)/", first)
        if not found:
            raise RuntimeError(first + self.process.stderr.read())
        self.port = int(found.group(2))
        self.cookie = None

    def __enter__(self):
        return self

    def __exit__(self, *_):
        if self.process.poll() is None:
            self.process.terminate()
            self.process.wait(60)
        self.process.stdout.close()
        self.process.stderr.close()

    def ask(self, method, address, body=None, **headers):
        """Asks, and holds the answer to the contract."""
        answer = self.raw(method, "/api/v1" + address, body, **headers)
        path = address.split("?")[0]
        operation = operation_of(method, path)
        if operation is not None:
            CALLED.add(operation["operationId"])
            check(operation, answer)
        return answer

    def raw(self, method, target, body=None, **headers):
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
        sent = {k.replace("_", "-"): v for k, v in headers.items()}
        if isinstance(body, (dict, list)):
            body = json.dumps(body)
            sent["Content-Type"] = "application/json"
        if self.cookie:
            sent["Cookie"] = self.cookie
            sent.setdefault("X-Bight-By", "KB")
        try:
            connection.request(method, target, body=body, headers=sent)
            got = connection.getresponse()
            return Answer(got.status, got.headers, got.read())
        finally:
            connection.close()


def check(operation, answer):
    told = operation["responses"]
    response = resolved(told.get(str(answer.status), told.get("default", {})))
    if answer.status < 400 and str(answer.status) not in told:
        raise AssertionError(f"{operation['operationId']}: {answer.status} is not in the contract")
    content = response.get("content")
    if not content:
        assert not answer.body or answer.status == 304, answer.body
        return
    media = answer.headers["Content-Type"].split(";")[0]
    assert media in content, f"{operation['operationId']} answered {media}"
    if media == "application/json":
        validate(answer.json(), content[media]["schema"])
    for name, header in response.get("headers", {}).items():
        if name in answer.headers:
            value = answer.headers[name]
            schema = header["schema"]
            validate(int(value) if schema.get("type") == "integer" else value, schema)


RAIL = {
    "schema": 1,
    "name": "Rail",
    "units": "mm",
    "tube": {"size": "38.1 x 1.5", "material": "304L annealed"},
    "line": {
        "corners": [[0, 0, 0], [600, 0, 0], [600, 500, 0], [600, 500, 400]],
        "radius": 114,
    },
}


class Contract(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.mkdtemp()
        self.addCleanup(shutil.rmtree, self.folder)

    def test_every_operation(self):
        with Service(self.folder, "--demo") as s:
            self.look_around(s)
            self.keep_records(s)
            self.ask_answers(s)
            self.stand_at_the_bench(s)
            self.move_files(s)
            self.assertEqual(s.ask("GET", "/session").json()["needed"], False)
            self.assertEqual(s.ask("POST", "/session", {"pass": "x"}).status, 200)
            self.assertEqual(s.ask("DELETE", "/session").status, 204)
            self.listen(s)
        every = {operation["operationId"] for _, _, operation in operations()}
        self.assertEqual(CALLED & every, every)

    def test_every_route_is_in_the_contract(self):
        source = "".join(
            p.read_text() for p in (ROOT / "src/service").glob("handlers_*.cpp")
            if not p.name.endswith("_test.cpp")
        )
        routes = set(re.findall(r'"(?:GET|POST|PUT|DELETE)",\s*"(/[^"]*)"', source))
        routes |= set(re.findall(r'add_heavy\(router, "(/[^"]*)"', source))
        self.assertGreater(len(routes), 20)
        listed = {re.sub(r"\{\w+\}", "{}", path) for path in CONTRACT["paths"]}
        for route in routes:
            self.assertIn(re.sub(r"\{\w+\}", "{}", route), listed)

    def look_around(self, s):
        about = s.ask("GET", "/about").json()
        self.assertEqual(about["shop"], "Fenwater Rail & Frame")
        summary = s.ask("GET", "/shop/summary").json()
        self.assertEqual(summary["errors"], [])
        self.assertGreater(summary["counts"]["part"], 5)
        parts = s.ask("GET", "/parts").json()
        self.assertTrue(all(p["picture"].startswith("M") for p in parts["parts"]))
        self.assertGreater(len(s.ask("GET", "/catalogue").json()["metals"]), 10)
        self.assertEqual(s.ask("GET", "/openapi.yaml").body, (FORMATS / "openapi.yaml").read_bytes())
        self.assertGreater(s.ask("POST", "/stock", {"query": "38.1 x 16 BWG"}).json()["total"], 0)
        # A die set as a file is, brought back, what stands there; a slip is said with its line.
        die = s.ask("GET", "/records/die_set").json()["records"][0]["id"]
        text = s.ask("GET", f"/records/die_set/{die}/file").body.decode()
        slip = text.replace("clamp = ", "clamp = -")
        files = [{"name": "die.toml", "text": text}, {"name": "slip.toml", "text": slip}]
        alone = s.ask("POST", "/shop/files", {"files": files[:1]}).json()
        self.assertEqual(alone["files"][0]["entries"][0]["deed"], "same")
        both = s.ask("POST", "/shop/files", {"files": files, "taking": "all"}).json()
        self.assertFalse(both["written"])
        self.assertGreater(both["files"][1]["errors"][0]["line"], 1)
        self.assertEqual(s.ask("POST", "/stock", {"query": "sofa"}).status, 422)
        typed = {"items": [{"kind": "length", "text": '1-1/2"'}, {"kind": "angle", "text": "x"}]}
        self.assertEqual(s.ask("POST", "/typed", typed).json()["items"][0]["value"], 38.1)
        bender = {"kind": "bender", "document": {"name": 3}}
        self.assertTrue(s.ask("POST", "/documents/check", bender).json()["errors"])

    def keep_records(self, s):
        added = s.ask("POST", "/records/part", {"document": RAIL}, X_Bight_By="KB",
                      Idempotency_Key="once")
        self.assertEqual(added.status, 201)
        again = s.ask("POST", "/records/part", {"document": RAIL}, X_Bight_By="KB",
                      Idempotency_Key="once")
        self.assertEqual(again.json()["id"], added.json()["id"])
        at = "/records/part/" + added.json()["id"]
        tag = added.headers["ETag"]
        self.assertEqual(s.ask("GET", at).json()["document"], RAIL)
        self.assertEqual(s.ask("GET", at, If_None_Match=tag).status, 304)
        changed = {"document": {**RAIL, "name": "Rail, later"}}
        self.assertEqual(s.ask("PUT", at, changed).status, 428)
        self.assertEqual(s.ask("PUT", at, changed, If_Match=tag).status, 200)
        late = s.ask("PUT", at, changed, If_Match=tag)
        self.assertEqual(late.status, 412)
        self.assertEqual(late.json()["present"]["document"]["name"], "Rail, later")
        undone = s.ask("POST", at + "/undo", {}, If_Match='"r2"')
        self.assertEqual(undone.json()["document"]["name"], "Rail")
        self.assertEqual(s.ask("POST", at + "/withdraw", If_Match='"r3"').json()["withdrawn"], True)
        self.assertEqual(s.ask("POST", at + "/restore", If_Match='"r4"').json()["withdrawn"], False)
        self.assertEqual(len(s.ask("GET", at + "/history").json()["history"]), 5)
        self.assertEqual(s.ask("GET", at + "/revisions/2").json()["document"]["name"], "Rail, later")
        self.assertEqual(s.ask("GET", "/records/part?limit=2").json()["records"][0]["kind"], "part")
        blob = s.ask("POST", "/blobs", b"\x00photo").json()
        self.assertEqual(s.ask("GET", "/blobs/" + blob["id"]).body, b"\x00photo")
        self.assertEqual(s.ask("GET", "/records/sofa").status, 404)

    def ask_answers(self, s):
        self.assertEqual(s.ask("POST", "/part/check", {"part": RAIL}).json()["errors"], [])
        bad = json.loads(json.dumps(RAIL))
        bad["line"]["corners"][1][0] = "six"
        errors = s.ask("POST", "/part/check", {"part": bad}).json()["errors"]
        self.assertEqual(errors[0]["where"], "line.corners[1][0]")
        bends = s.ask("POST", "/part/rewrite", {"part": RAIL, "as": "bends"}).json()["part"]
        self.assertEqual(len(bends["line"]["bends"]), 2)
        self.assertEqual(s.ask("POST", "/part/rewrite", {"part": bad, "as": "bends"}).status, 422)
        line = {"shape": "u", "width": 400, "leg": 300, "radius": 75}
        self.assertEqual(s.ask("POST", "/shapes", {"line": line}).json()["errors"], [])
        for part in s.ask("GET", "/parts?limit=100").json()["parts"]:
            plan = s.ask("POST", "/plan", {"part_id": part["id"]})
            self.assertEqual(plan.status, 200, part["name"])
        plan = s.ask("POST", "/plan", {"part": RAIL}).json()
        self.assertTrue(any(t["used"] for t in plan["tooling"]), plan["plan"]["findings"])
        self.assertEqual(s.ask("POST", "/plan", {"part": bad}).status, 422)
        sheet = s.ask("POST", "/sheet?paper=letter", {"part": RAIL, "units": "in/16"})
        self.assertTrue(sheet.body.startswith(b"%PDF"))
        self.assertEqual(s.ask("POST", "/sheet?format=svg", {"part": RAIL}).status, 200)
        clear = s.ask("POST", "/clear", {"part": RAIL}).json()
        film = s.ask("POST", "/film", {"part": RAIL}).json()
        self.assertEqual(len(clear["steps"]), len(film["steps"]))
        glb = s.ask("POST", "/film?format=glb", {"part": RAIL})
        self.assertEqual(glb.body[:4], b"glTF")
        orders = s.ask("POST", "/order", {"part": RAIL}).json()["orders"]
        self.assertEqual([one["taken"] for one in orders].count(True), 1)
        back = s.ask("POST", "/plan", {"part": RAIL, "order": orders[-1]["bends"]}).json()
        self.assertEqual(back["plan"]["order"]["text"], orders[-1]["text"])
        self.assertEqual(s.ask("POST", "/plan", {"part": RAIL, "order": "1,1"}).status, 422)
        spring = s.ask("POST", "/springback", {"part": RAIL}).json()
        self.assertTrue(all(row["low_deg"] < row["high_deg"] for row in spring["line"]))
        rows = plan["plan"]["part"]["bend_table"]
        measured = {"schema": 1, "bends": [{"angle": row["angle_deg"] - 1} for row in rows]}
        asked = {"part": RAIL, "measured": measured}
        self.assertTrue(s.ask("POST", "/correct", asked).json()["changes"])
        self.assertEqual(s.ask("POST", "/inspect", asked).json()["verdict"], "not judged")
        report = s.ask("POST", "/inspect?format=pdf&paper=letter", asked)
        self.assertTrue(report.body.startswith(b"%PDF"))

    def stand_at_the_bench(self, s):
        for part in s.ask("GET", "/parts?limit=100").json()["parts"]:
            asked = {"part_id": part["id"]}
            self.assertIn(s.ask("POST", "/learn", asked).status, (200, 422), part["name"])
            self.assertIn(s.ask("POST", "/keypad", asked).status, (200, 422), part["name"])
            self.assertTrue(s.ask("POST", "/checklist", asked).json()["items"])
        trials = [{"set": 20, "finished": 18.2}, {"set": 120, "finished": 114.4}]
        hits = [{"bend": 1, "set": 90, "finished": 85}]
        learned = s.ask("POST", "/learn", {"part": RAIL, "trials": trials, "hits": hits}).json()
        self.assertGreaterEqual(len(learned["lessons"]["dies"][0]["trials"]), 2)
        self.assertEqual(len(learned["hits"]), 2)
        self.assertEqual(s.ask("POST", "/learn", {"part": RAIL, "chance": 9}).status, 422)
        self.assertTrue(s.ask("POST", "/keypad?format=pdf", {"part": RAIL}).body.startswith(b"%PDF"))
        run = s.ask("POST", "/run/start", {"part": RAIL, "pieces": 5}).json()["run"]
        events = [{"key": f"m{n}", "at": "2026-05-01T10:00:00Z", "do": "measure", "piece": n,
                   "step": 1, "angle": 90 + n / 10} for n in range(1, 6)]
        merged = s.ask("POST", "/run/status", {"run": run, "events": events}).json()
        self.assertEqual(merged["merge"]["added"], 5)
        asked = {"run": merged["run"], "tolerance_deg": 0.5}
        self.assertEqual(len(s.ask("POST", "/run/chart", asked).json()["readings"]), 5)
        self.assertEqual(s.ask("POST", "/run/chart?format=svg", asked).status, 200)
        self.assertEqual(s.ask("POST", "/run/chart", {"run": run}).status, 200)
        readings = [{"person": p, "piece": str(n), "angle": 90 + n + i / 10}
                    for p in ("KB", "MT") for n in range(5) for i in range(3)]
        self.assertEqual(s.ask("POST", "/run/gauge", {"readings": readings}).json()["people"], 2)
        days = [{"date": f"2026-0{n}-10", "slips": [n / 10],
                 "bends": [{"set": a, "loaded": a + n / 20} for a in (30, 90, 150)]}
                for n in range(1, 5)]
        self.assertTrue(s.ask("POST", "/bender/check", {"check": days}).json()["trends"])
        symptoms = s.ask("POST", "/trouble", {}).json()["symptoms"]
        for symptom in symptoms:
            asked = {"symptom": symptom["symptom"], "answers": [], "part": RAIL}
            while True:
                guide = s.ask("POST", "/trouble", asked).json()["guide"]
                if guide["question"] is None:
                    break
                answer = guide["choices"][-1]["answer"]
                asked["answers"].append({"question": guide["question"], "answer": answer})

    def move_files(self, s):
        for kind in s.ask("GET", "/catalogue").json()["writes"]:
            made = s.ask("POST", "/convert?to=" + kind["to"], {"part": RAIL})
            self.assertEqual(made.status, 200, kind)
        step = s.ask("POST", "/convert?to=step", {"part": RAIL}).body
        read = s.ask("POST", "/read?name=rail.step&material=304L%20annealed", step)
        if read.status == 202:
            job = "/jobs/" + read.json()["job"]
            while s.ask("GET", job).json()["state"] == "running":
                time.sleep(0.05)
            reading = s.ask("GET", job).json()["result"]
        else:
            reading = read.json()
            # A job of its own is looked at and ended all the same.
            self.assertEqual(s.ask("GET", "/jobs/nosuch").status, 404)
        self.assertEqual(len(reading["table"]["bend_table"]), 2)
        self.assertIn(s.ask("DELETE", "/jobs/nosuch").status, (204, 404))
        cells = "x\ty\tz\n0\t0\t0\n400\t0\t0\n400\t300\t0\n"
        self.assertTrue(s.ask("POST", "/read?name=a.tsv", cells).json()["questions"])
        archive = s.ask("GET", "/archive")
        self.assertTrue(s.ask("POST", "/archive?taking=all", archive.body).json()["same"] > 10)

    def listen(self, s):
        heard = []
        with_stream = http.client.HTTPConnection("127.0.0.1", s.port, timeout=60)
        with_stream.request("GET", "/api/v1/events")
        stream = with_stream.getresponse()
        CALLED.add("events")
        self.assertEqual(stream.headers["Content-Type"], "text/event-stream")
        thread = threading.Thread(target=lambda: heard.append(next_event(stream)))
        thread.start()
        added = s.ask("POST", "/records/run", {"document": {"pieces": 3}}, X_Bight_By="MT").json()
        thread.join(60)
        event = heard[0]
        validate(event, {"$ref": "#/components/schemas/Event"})
        self.assertEqual((event["id"], event["by"]), (added["id"], "MT"))
        with_stream.close()


def next_event(stream):
    for line in stream:
        if line.startswith(b"data: "):
            return json.loads(line[6:])
    return None


class Steadfast(unittest.TestCase):
    """What was acknowledged stays, whatever happens; on both stores."""

    def stores(self):
        yield None
        server = os.environ.get("BIGHT_TEST_POSTGRESQL")
        if server:
            yield server + "?options=-csearch_path%3Dservice_test"

    def with_folder(self):
        folder = tempfile.mkdtemp()
        self.addCleanup(shutil.rmtree, folder)
        return folder

    def test_killed_while_writing(self):
        folder = self.with_folder()
        acknowledged = []
        with Service(folder) as s:
            def write():
                for i in range(100_000):
                    try:
                        answer = s.ask("POST", "/records/part", {"document": {"name": f"p{i}"}})
                    except (OSError, http.client.HTTPException):
                        return
                    if answer.status == 201:
                        acknowledged.append(answer.json()["id"])
            writers = [threading.Thread(target=write) for _ in range(4)]
            for writer in writers:
                writer.start()
            while len(acknowledged) < 40:
                time.sleep(0.01)
            s.process.send_signal(signal.SIGKILL)
            for writer in writers:
                writer.join(60)
        with Service(folder) as s:
            for one in acknowledged:
                self.assertEqual(s.ask("GET", "/records/part/" + one).status, 200)

    def test_stopped_gracefully(self):
        folder = self.with_folder()
        with Service(folder, "--demo") as s:
            total = s.ask("GET", "/parts").json()["total"]
            stream = http.client.HTTPConnection("127.0.0.1", s.port, timeout=60)
            stream.request("GET", "/api/v1/events")
            stream.getresponse().readline()
            s.process.terminate()
            self.assertEqual(s.process.wait(60), 0)
            stream.close()
            lines = [json.loads(line) for line in s.log.read_text().splitlines()]
            self.assertEqual(lines[0]["path"], "/api/v1/parts")
        with Service(folder, "--demo") as s:
            self.assertEqual(s.ask("GET", "/parts").json()["total"], total)

    def test_another_process_is_heard(self):
        folder = self.with_folder()
        with Service(folder) as one, Service(folder) as other:
            stream = http.client.HTTPConnection("127.0.0.1", one.port, timeout=60)
            stream.request("GET", "/api/v1/events?since=0")
            added = other.ask("POST", "/records/part", {"document": {"name": "x"}}).json()
            self.assertEqual(next_event(stream.getresponse())["id"], added["id"])
            stream.close()

    def test_on_a_database_server(self):
        server = os.environ.get("BIGHT_TEST_POSTGRESQL")
        if not server:
            return
        folder = self.with_folder()
        with Service(folder, "--demo", store=server) as s:
            self.assertTrue(s.ask("GET", "/about").json()["store"].startswith("PostgreSQL"))
            added = s.ask("POST", "/records/part", {"document": RAIL})
            tag = added.headers["ETag"]
            at = "/records/part/" + added.json()["id"]
            self.assertEqual(s.ask("PUT", at, {"document": RAIL}, If_Match=tag).status, 200)
            self.assertEqual(s.ask("PUT", at, {"document": RAIL}, If_Match=tag).status, 412)
            self.assertEqual(s.ask("POST", "/plan", {"part": RAIL}).status, 200)
        with Service(folder, store=server) as s:
            self.assertEqual(s.ask("GET", at).json()["revision"], 2)


class Guarded(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.mkdtemp()
        self.addCleanup(shutil.rmtree, self.folder)

    def test_paths_lead_nowhere(self):
        with Service(self.folder) as s:
            for target in ("/../../../../etc/passwd", "/%2e%2e/%2e%2e/etc/passwd",
                           "/assets/..%2f..%2fetc/passwd", "/api/v1/../../etc/passwd",
                           "/api/v1/blobs/..%2F..%2Fbight.db", "/api/v1/records/part/..%2fx"):
                answer = s.raw("GET", target)
                self.assertNotIn(b"root:", answer.body)
                self.assertNotIn(b"SQLite format", answer.body)
            # Every address outside the API is the page, where it was built into the program.
            outside, inside = "/" + "a" * 5000, "/api/v1/records/part/" + "a" * 5000
            self.assertIn(s.raw("GET", outside).status, (200, 404))
            self.assertEqual(s.raw("GET", inside).status, 404)
            for target in (outside, inside):
                self.assertEqual(s.raw("POST", target, b"x").status, 404)
            self.assertEqual(s.raw("GET", "/api/v1/about").status, 200)

    def test_large_bodies(self):
        with Service(self.folder) as s:
            answer = s.ask("POST", "/plan", b"{" + b" " * (5 << 20))
            self.assertEqual(answer.status, 413)
            self.assertEqual(s.ask("POST", "/plan", b"[" * 100_000).status, 400)
            document = {"document": {"name": "x" * (2 << 20)}}
            self.assertEqual(s.ask("POST", "/records/part", document).status, 422)

    def test_a_pass_beyond_this_computer(self):
        refused = subprocess.run(
            [BIGHT, "serve", "--data", self.folder, "--listen", "0.0.0.0", "--port", "0"],
            capture_output=True, text=True, check=False)
        self.assertEqual(refused.returncode, 3)
        self.assertIn("[serve.pass]", refused.stderr)
        short = subprocess.run([BIGHT, "serve", "--data", self.folder, "--set-pass"],
                               input="short\n", capture_output=True, text=True, check=False)
        self.assertIn("[session.pass-short]", short.stderr)
        done = subprocess.run([BIGHT, "serve", "--data", self.folder, "--set-pass"],
                              input="eel pie island\n", capture_output=True, text=True, check=False)
        self.assertEqual(done.returncode, 0, done.stderr)
        self.assertNotIn("eel pie", (pathlib.Path(self.folder) / "pass").read_text())

    def test_log_in_and_its_limits(self):
        secret = pathlib.Path(self.folder) / "secret"
        secret.write_text("eel pie island\n")
        with Service(self.folder, "--pass-file", secret) as s:
            self.assertEqual(s.ask("GET", "/parts").status, 401)
            self.assertEqual(s.ask("GET", "/about").json()["pass_needed"], True)
            opened = s.ask("POST", "/session", {"pass": "eel pie island", "initials": "KB"},
                           X_Bight_By="KB")
            self.assertEqual(opened.status, 200)
            cookie = opened.headers["Set-Cookie"]
            self.assertIn("HttpOnly", cookie)
            self.assertIn("SameSite=Strict", cookie)
            for _ in range(5):
                wrong = s.ask("POST", "/session", {"pass": "guess"}, X_Bight_By="MT")
                self.assertEqual(wrong.status, 401)
            self.assertEqual(s.ask("POST", "/session", {"pass": "guess"}, X_Bight_By="MT").status, 429)
            s.cookie = cookie.split(";")[0]
            self.assertEqual(s.ask("GET", "/parts").status, 200)
            self.assertEqual(
                s.ask("POST", "/records/part", {"document": RAIL}, Origin="http://evil.example")
                .status, 403)

    def test_over_tls(self):
        folder = pathlib.Path(self.folder)
        cert, key, secret = folder / "cert.pem", folder / "key.pem", folder / "secret"
        secret.write_text("eel pie island\n")
        subprocess.run(
            ["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2", "-subj",
             "/CN=localhost", "-addext", "subjectAltName=DNS:localhost,IP:127.0.0.1",
             "-keyout", key, "-out", cert], check=True, capture_output=True)
        only_ours = ssl.create_default_context(cafile=str(cert))
        with Service(self.folder, "--tls-cert", cert, "--tls-key", key,
                     "--pass-file", secret) as s:
            connection = http.client.HTTPSConnection("127.0.0.1", s.port, timeout=60,
                                                     context=only_ours)
            connection.request("POST", "/api/v1/session",
                               json.dumps({"pass": "eel pie island", "initials": "KB"}),
                               {"Content-Type": "application/json", "X-Bight-By": "KB"})
            opened = connection.getresponse()
            opened.read()
            self.assertEqual(opened.status, 200)
            self.assertIn("Secure", opened.headers["Set-Cookie"])
            connection.request("GET", "/api/v1/parts",
                               headers={"Cookie": opened.headers["Set-Cookie"].split(";")[0]})
            self.assertEqual(connection.getresponse().status, 200)
            connection.close()
            # What is not TLS, and TLS of long ago, get no answer.
            with socket.create_connection(("127.0.0.1", s.port), timeout=10) as plain:
                plain.sendall(b"GET /api/v1/about HTTP/1.1\r\nHost: localhost\r\n\r\n")
                self.assertNotIn(b"200", plain.recv(200))
            old = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
            old.load_verify_locations(str(cert))
            old.minimum_version = ssl.TLSVersion.TLSv1
            old.maximum_version = ssl.TLSVersion.TLSv1_1
            old.set_ciphers("ALL:@SECLEVEL=0")
            with self.assertRaises((ssl.SSLError, ConnectionError)):
                with socket.create_connection(("127.0.0.1", s.port), timeout=10) as raw:
                    old.wrap_socket(raw, server_hostname="localhost")


class ShopCommand(unittest.TestCase):
    def setUp(self):
        self.folder = pathlib.Path(tempfile.mkdtemp())
        self.addCleanup(shutil.rmtree, self.folder)

    def shop(self, data, *args):
        done = subprocess.run([BIGHT, "shop", *map(str, args), "--data", self.folder / data],
                              capture_output=True, text=True, check=False)
        self.assertEqual(done.returncode, 0, done.stderr)
        return done.stdout

    def fingerprint(self, data):
        return self.shop(data, "inventory").splitlines()[-1]

    def test_folders_archives_and_backups(self):
        self.shop("one", "take-folder", ROOT / "examples/fenwater", "--by", "KB")
        self.shop("one", "export", self.folder / "shop.zip")
        self.shop("two", "import", self.folder / "shop.zip")
        self.assertEqual(self.fingerprint("one"), self.fingerprint("two"))
        (self.folder / "three").mkdir()
        self.shop("one", "backup", self.folder / "three" / "bight.db")
        self.assertEqual(self.fingerprint("one"), self.fingerprint("three"))
        self.shop("one", "write-folder", self.folder / "text")
        again = self.shop("one", "take-folder", self.folder / "text")
        self.assertIn("0 new, 0 changed", again)
        part = sorted((self.folder / "text/parts").glob("*.toml"))[0]
        planned = subprocess.run([BIGHT, "plan", part, "--shop", self.folder / "text"],
                                 capture_output=True, text=True, check=False)
        self.assertIn(planned.returncode, (0, 2), planned.stderr)


if __name__ == "__main__":
    unittest.main()
