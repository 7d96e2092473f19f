"""Tables through the program: spreadsheets as customers send them, questions, round trips.

Needs BIGHT=program.
"""

import csv
import io
import json
import os
import pathlib
import subprocess
import tempfile
import unittest
import xml.etree.ElementTree

import jsonschema

ROOT = pathlib.Path(__file__).resolve().parent.parent
BIGHT = os.environ["BIGHT"]
PARTS = sorted((ROOT / "examples/fenwater/parts").glob("*.toml"))
TUBE = ["--size", "25 x 1.5", "--material", "304L annealed"]


def run(*args, stdin=None):
    done = subprocess.run([BIGHT, *map(str, args)], capture_output=True, check=False, input=stdin)
    return done.returncode, done.stdout.decode(), done.stderr.decode()


def schema(name):
    loaded = json.loads((ROOT / "docs/formats" / name).read_text())
    jsonschema.Draft202012Validator.check_schema(loaded)
    return jsonschema.Draft202012Validator(loaded)


class Tables(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.addCleanup(self.folder.cleanup)
        self.tmp = pathlib.Path(self.folder.name)

    def write(self, name, text, encoding="utf-8"):
        path = self.tmp / name
        path.write_bytes(text.encode(encoding))
        return path

    def test_questions_end_with_3_and_their_option(self):
        path = self.write("t.tsv", "L\tR\tA\n100\t0\t90\n80\t90\t45\n60\t-90\t30\n50\n")
        code, _, err = run("convert", path, "-", "--to-format", "json")
        self.assertEqual(code, 3)
        self.assertIn("[ask.units]", err)
        self.assertIn("--answer units=mm", err)
        answers = ["--units", "mm", "--radius", "50", "--answer", "angle=bend",
                   "--answer", "rotation=relative"]
        code, out, err = run("convert", path, "-", "--to-format", "json", *answers)
        self.assertEqual(code, 0, err)
        self.assertEqual([r["rotation_deg"] for r in json.loads(out)["bends"]], [0, 90, -90])
        code, _, err = run("convert", path, "-", "--to-format", "json", "--answer", "mood=good")
        self.assertEqual(code, 3)
        self.assertIn("[ask.unknown]", err)

    def test_a_spreadsheet_of_any_office(self):
        text = "Nr;Länge [mm];Verdrehung relativ;Biegewinkel;Biegeradius [mm]\r\n" \
               "1;1.250,5;0;47,9;57\r\n2;41;90;30;57\r\n3;118,25\r\n"
        for encoding in ("utf-8", "utf-8-sig", "cp1252", "utf-16"):
            path = self.write("tabelle.csv", text, encoding)
            code, out, err = run("convert", path, "-", "--to-format", "csv")
            self.assertEqual(code, 0, err)
            rows = list(csv.reader(io.StringIO(out)))
            self.assertEqual(rows[1][1:], ["1250.5", "0", "47.9", "57"])

    def test_cells_pasted_into_a_pipe(self):
        paste = b"X (in)\tY (in)\n0\t0\n10\t0\n10\t7.5\n"
        code, out, err = run("convert", "-", "-", "--to-format", "csv", "--radius", "2in",
                             stdin=paste)
        self.assertEqual(code, 0, err)
        self.assertIn("straight [in]", out)
        self.assertIn("1,8,0,90,2", out)

    def test_plans_from_a_table(self):
        path = self.write("points.csv", "X mm,Y mm,Z mm\n0,0,0\n500,0,0\n500,400,0\n")
        code, _, err = run("plan", path, "--radius", "77")
        self.assertEqual(code, 3)
        self.assertIn("[input.tube]", err)
        code, out, err = run("plan", path, "--radius", "77", *TUBE, "--json")
        self.assertIn(code, (0, 2), err)
        self.assertEqual(json.loads(out)["part"]["name"], "points")
        code, out, _ = run("show", path, "--radius", "77")
        self.assertEqual(code, 0)
        self.assertIn("developed length", out)

    def test_json_follows_its_schema_and_comes_back(self):
        bends, corners = schema("bends.schema.json"), schema("corners.schema.json")
        for part in PARTS:
            one, two = self.tmp / "one.json", self.tmp / "two.json"
            self.assertEqual(run("convert", part, one)[0], 0)
            bends.validate(json.loads(one.read_text()))
            self.assertEqual(run("convert", one, two)[0], 0)
            self.assertEqual(one.read_text(), two.read_text())
            self.assertEqual(run("convert", part, two, "--what", "corners")[0], 0)
            corners.validate(json.loads(two.read_text()))

    def test_part_files_come_back(self):
        for part in PARTS:
            one, two = self.tmp / "one.toml", self.tmp / "two.toml"
            code, _, err = run("convert", part, one)
            self.assertEqual(code, 0, err)
            self.assertEqual(run("convert", one, two)[0], 0)
            self.assertEqual(one.read_text(), two.read_text())
            a, b = (json.loads(run("plan", p, "--json")[1]) for p in (part, one))
            # How size and metal were worded is news of the first file only.
            for plan in (a, b):
                plan["findings"] = [f for f in plan["findings"] if f["code"] not in ("part.size", "part.material")]
            self.assertEqual(a, b)

    def test_tables_come_back(self):
        for part in PARTS:
            for what in ("bends", "corners"):
                for ending in ("csv", "tsv"):
                    table, again = self.tmp / f"t.{ending}", self.tmp / "again.json"
                    self.assertEqual(run("convert", part, table, "--what", what)[0], 0)
                    code, _, err = run("convert", table, again)
                    self.assertEqual(code, 0, err)
                    wanted = json.loads(run("show", part, "--json")[1])["part"]
                    back = json.loads(again.read_text())
                    length = back["last_straight_mm"] + sum(
                        r["straight_mm"] + r["radius_mm"] * r["angle_deg"] * 3.141592653589793 / 180
                        for r in back["bends"])
                    self.assertAlmostEqual(length, wanted["developed_length_mm"], 5)

    def test_a_solid_comes_back(self):
        solid, again = self.tmp / "x.step", self.tmp / "again.json"
        self.assertEqual(run("convert", PARTS[0], solid)[0], 0)
        code, _, err = run("convert", solid, again)
        self.assertEqual(code, 0, err)
        wanted = json.loads(run("show", PARTS[0], "--json")[1])["part"]
        self.assertEqual(len(json.loads(again.read_text())["bends"]), len(wanted["bend_table"]))
        code, out, err = run("plan", solid, "--material", "304L annealed", "--json")
        self.assertIn(code, (0, 2), err)

    def test_a_mesh_comes_back_as_a_sample(self):
        # The triangles of our own STL, read as the scan of a sample.
        mesh, again = self.tmp / "x.stl", self.tmp / "again.json"
        self.assertEqual(run("convert", PARTS[0], mesh, "--tolerance", "0.02")[0], 0)
        code, _, err = run("convert", mesh, again, "--answer", "units=mm")
        self.assertEqual(code, 0, err)
        wanted = json.loads(run("show", PARTS[0], "--json")[1])["part"]
        angles = [b["angle_deg"] for b in wanted["bend_table"]]
        found = [b["angle_deg"] for b in json.loads(again.read_text())["bends"]]
        self.assertEqual(len(found), len(angles))
        # End A of a scan is the end with the longer straight, so either order is right.
        if abs(found[0] - angles[0]) > 0.2:
            found.reverse()
        for one, other in zip(found, angles):
            self.assertAlmostEqual(one, other, delta=0.2)

    def test_every_output_is_written_or_explained(self):
        for name in ("x.svg", "x.dxf", "x.step", "x.glb", "x.gltf", "x.stl", "x.toml", "x.csv", "x.json"):
            self.assertEqual(run("convert", PARTS[0], self.tmp / name)[0], 0, name)
            self.assertGreater((self.tmp / name).stat().st_size, 100)
        strip = self.tmp / "strip.svg"
        self.assertEqual(run("convert", PARTS[0], strip, "--what", "strip")[0], 0)
        views = self.tmp / "x.svg"
        self.assertNotEqual(strip.read_text(), views.read_text())
        for svg in (strip, views):
            self.assertEqual(xml.etree.ElementTree.parse(svg).getroot().tag,
                             "{http://www.w3.org/2000/svg}svg")
        code, _, err = run("convert", PARTS[0], self.tmp / "x.doc")
        self.assertEqual(code, 1)
        self.assertIn("[convert.format]", err)
        code, _, err = run("convert", PARTS[0], self.tmp / "x.stl", "--what", "strip")
        self.assertEqual(code, 1)
        self.assertIn("[convert.what]", err)
        code, _, err = run("convert", PARTS[0], self.tmp / "no" / "folder.csv")
        self.assertEqual(code, 4)
        self.assertIn("[convert.write]", err)

    def test_nonsense_gets_a_sentence(self):
        many = "X mm,Y mm\n" + "".join(f"{i},{i % 2}\n" for i in range(5000))
        cases = {
            "empty.csv": ("", "table.empty"),
            "words.csv": ("a,b\nc,d\n", "table.rows"),
            "nan.csv": ("X mm,Y mm\nnan,1\n", "table.cell"),
            "ragged.csv": ("X mm,Y mm\n1,2,3\n", "table.ragged"),
            "many.csv": (many, "table.many"),
            "big.csv": ("1,2\n" * 2500000, "file.size"),
            "cut.json": ('{"schema": 1, "table": "bends", "bends": [', "json.syntax"),
            "cut.toml": ('name = "x', "toml.syntax"),
        }
        for name, (text, expected) in cases.items():
            code, _, err = run("show", self.write(name, text))
            self.assertEqual(code, 3, name)
            self.assertIn(f"[{expected}]", err, name)


if __name__ == "__main__":
    unittest.main()
