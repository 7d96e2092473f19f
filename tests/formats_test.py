"""Holds what the program reads and prints to the published JSON Schemas. Needs BIGHT=program."""

import json
import os
import pathlib
import subprocess
import tomllib
import unittest

import jsonschema

ROOT = pathlib.Path(__file__).resolve().parent.parent
BIGHT = os.environ["BIGHT"]
PARTS = sorted((ROOT / "examples/fenwater/parts").glob("*.toml"))


def schema(name):
    loaded = json.loads((ROOT / "docs/formats" / name).read_text())
    jsonschema.Draft202012Validator.check_schema(loaded)
    return jsonschema.Draft202012Validator(loaded)


def run(*args):
    done = subprocess.run([BIGHT, *map(str, args)], capture_output=True, text=True, check=False)
    return done.returncode, done.stdout, done.stderr


class Formats(unittest.TestCase):
    def test_plans_follow_their_schema(self):
        check = schema("plan.schema.json")
        for part in PARTS:
            for more in ([], ["--from", "B"], ["--mirror"]):
                code, out, err = run("plan", part, "--json", *more)
                self.assertIn(code, (0, 2), err)
                check.validate(json.loads(out))

    def test_demo_parts_follow_their_schema(self):
        check = schema("part.schema.json")
        self.assertGreaterEqual(len(PARTS), 8)
        for part in PARTS:
            check.validate(tomllib.loads(part.read_text()))

    def test_demo_shop_follows_its_schema(self):
        folder = ROOT / "examples/fenwater"
        files = {f.name: tomllib.loads(f.read_text()) for f in folder.glob("*.toml")}
        schema("shop.schema.json").validate(files)

    def test_measured_pieces_and_what_comes_of_them_follow_their_schemas(self):
        rail = ROOT / "examples/fenwater/parts/pulpit-rail.toml"
        folder = ROOT / "examples/fenwater/measured"
        first = folder / "pulpit-rail-first.toml"
        schema("measured_piece.schema.json").validate(tomllib.loads(first.read_text()))
        for piece in (first, folder / "pulpit-rail-second.csv"):
            code, out, err = run("correct", rail, piece, "--json")
            self.assertEqual(code, 0, err)
            schema("correction.schema.json").validate(json.loads(out))
            code, out, err = run("inspect", rail, piece, "--json", "--end", "4", "--corner", "3",
                                 "--rule", "rollcage-round")
            self.assertIn(code, (0, 2), err)
            schema("inspection.schema.json").validate(json.loads(out))

    def test_lessons_follow_their_schema(self):
        check = schema("lessons.schema.json")
        for part in PARTS[-2:]:
            for verb in (["show"], ["next"], ["hit", "--bend", "1"]):
                code, out, err = run("learn", verb[0], part, *verb[1:], "--json")
                self.assertEqual(code, 0, err)
                check.validate(json.loads(out))
        code, out, err = run("learn", "list", "--json")
        self.assertEqual(code, 0, err)
        check.validate(json.loads(out))
        trials = {"trials.toml": {"schema": 1, "trial": json.loads(out)["trials"]}}
        folder = ROOT / "examples/fenwater"
        files = {f.name: tomllib.loads(f.read_text()) for f in folder.glob("*.toml")}
        schema("shop.schema.json").validate({**files, **trials})

    def test_clearance_and_film_follow_their_schemas(self):
        for name in ("pulpit-rail", "gate-brace"):
            part = ROOT / f"examples/fenwater/parts/{name}.toml"
            film = ROOT / "build" / "film.json"
            code, out, err = run("clear", part, "--json", "--film", film)
            self.assertIn(code, (0, 2), err)
            schema("clear.schema.json").validate(json.loads(out))
            schema("film.schema.json").validate(json.loads(film.read_text()))

    def test_unknown_keys_are_refused_by_schema_and_program(self):
        text = PARTS[0].read_text() + '\n[surprise]\nx = 1\n'
        with self.assertRaises(jsonschema.ValidationError):
            schema("part.schema.json").validate(tomllib.loads(text))
        path = ROOT / "build" / "surprise.toml"
        path.write_text(text)
        code, _, err = run("plan", path)
        self.assertEqual(code, 3)
        self.assertIn("key.unknown", err)

    def test_runs_follow_their_schema(self):
        check = schema("run.schema.json")
        path = ROOT / "build" / "formats_run.toml"
        queue = ROOT / "build" / "formats_queue.json"
        code, _, err = run("run", "start", PARTS[-1], "-o", path, "--pieces", "3")
        self.assertEqual(code, 0, err)
        check.validate(tomllib.loads(path.read_text()))
        at = "2026-11-28T22:01:07.250Z"
        events = [
            {"do": "begin", "piece": 1, "heat": "H1"},
            {"do": "hit", "piece": 1, "step": 1, "set": 94.6, "read": 90.1},
            {"do": "done", "piece": 1, "step": 1},
            {"do": "measure", "piece": 1, "step": 1, "angle": 89.9},
            {"do": "finish", "piece": 1, "verdict": "scrap", "reason": "length"},
            {"do": "set", "step": 1, "from_piece": 2, "set": 94.8},
            {"do": "check", "item": "guards", "done": False},
            {"do": "trouble", "symptom": "hump", "question": "where", "answer": "trailing"},
            {"do": "note", "text": "second bundle"},
            {"do": "take-back", "of": "k3"},
            {"do": "end"},
        ]
        events = [{"key": f"k{i}", "at": at, "by": "KB", **e} for i, e in enumerate(events)]
        queue.write_text(json.dumps(events))
        code, _, err = run("run", "event", path, "--events", queue)
        self.assertEqual(code, 0, err)
        written = tomllib.loads(path.read_text())
        check.validate(written)
        self.assertEqual(len(written["events"]), len(events))
        with self.assertRaises(jsonschema.ValidationError):
            check.validate({**written, "events": [{**events[1], "do": "smash"}]})

    def test_printed_plans_do_not_change_between_runs(self):
        for part in PARTS:
            self.assertEqual(run("plan", part, "--json"), run("plan", part, "--json"))

    def test_a_changed_corner_changes_the_plan(self):
        text = (ROOT / "examples/fenwater/parts/rack-upright.toml").read_text()
        path = ROOT / "build" / "changed.toml"
        path.write_text(text.replace("[500, 700, 0], [0, 700, 0]", "[500, 720, 0], [0, 720, 0]"))
        before = json.loads(run("plan", PARTS[0].parent / "rack-upright.toml", "--json")[1])
        after = json.loads(run("plan", path, "--json")[1])
        self.assertAlmostEqual(
            after["blank"]["cut_length_mm"] - before["blank"]["cut_length_mm"], 20.0, places=6)


if __name__ == "__main__":
    unittest.main()
