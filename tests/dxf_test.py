"""DXF against another library: what it writes we read, what we write it reads and finds in order.

Needs BIGHT=program and python3-ezdxf.
"""

import json
import math
import os
import pathlib
import random
import subprocess
import tempfile
import unittest

import ezdxf
from ezdxf.math import OCS, Vec3

ROOT = pathlib.Path(__file__).resolve().parent.parent
BIGHT = os.environ["BIGHT"]
PARTS = sorted((ROOT / "examples/fenwater/parts").glob("*.toml"))
VERSIONS = ["R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018"]
TUBE = ["--size", "25 x 1.5", "--material", "304L annealed"]


def run(*args):
    done = subprocess.run([BIGHT, *map(str, args)], capture_output=True, text=True, check=False)
    return done.returncode, done.stdout, done.stderr


def drawing(version, unit=4):
    doc = ezdxf.new(version)
    doc.header["$INSUNITS"] = unit
    return doc, doc.modelspace()


class Dxf(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.addCleanup(self.folder.cleanup)
        self.tmp = pathlib.Path(self.folder.name)

    def bends(self, doc, *options, fmt="asc"):
        """What we read in the drawing: rows of straight, rotation, angle, radius, and the last."""
        path = self.tmp / "in.dxf"
        doc.saveas(path, fmt=fmt)
        out = self.tmp / "out.json"
        code, _, err = run("convert", path, out, *options)
        self.assertEqual(code, 0, err)
        table = json.loads(out.read_text())
        rows = [
            (b["straight_mm"], b["rotation_deg"], b["angle_deg"], b["radius_mm"])
            for b in table["bends"]
        ]
        return rows, table["last_straight_mm"]

    def assert_bends(self, found, rows, last, places=5):
        self.assertEqual(len(found[0]), len(rows), found)
        for a, b in zip(found[0], rows):
            self.assertAlmostEqual(a[0], b[0], places)
            self.assertAlmostEqual((a[1] - b[1] + 180) % 360 - 180, 0, places)
            self.assertAlmostEqual(a[2], b[2], places)
            self.assertAlmostEqual(a[3], b[3], places)
        self.assertAlmostEqual(found[1], last, places)

    def test_bulged_polylines_of_every_release(self):
        for version in VERSIONS:
            for fmt in ("asc", "bin"):
                with self.subTest(version=version, fmt=fmt):
                    doc, model = drawing(version)
                    points = [(0, 0, 0), (80, 0, math.tan(math.pi / 8)), (100, 20, 0),
                              (100, 60, -math.tan(math.pi / 12)),
                              (100 + 30 * (1 - math.cos(math.pi / 3)),
                               60 + 30 * math.sin(math.pi / 3), 0)]
                    end = points[-1]
                    points.append((end[0] + 50 * math.sin(math.pi / 3),
                                   end[1] + 50 * math.cos(math.pi / 3), 0))
                    if version == "R12":
                        model.add_polyline2d(points, format="xyb")
                    else:
                        model.add_lwpolyline(points, format="xyb")
                    options = ["--answer", "units=mm"] if version == "R12" else []
                    self.assert_bends(self.bends(doc, *options, fmt=fmt),
                                      [(80, 0, 90, 20), (40, 180, 60, 30)], 50)

    def test_lines_and_arcs_in_any_order(self):
        rng = random.Random(7)
        for version in VERSIONS:
            with self.subTest(version=version):
                doc, model = drawing(version)
                pieces = [
                    lambda: model.add_line((0, 0), (80, 0)),
                    lambda: model.add_line((100, 60), (100, 20)),
                    lambda: model.add_arc((80, 20), 20, 270, 360),
                    lambda: model.add_arc((70, 60), 30, 0, 120),
                ]
                rng.shuffle(pieces)
                for piece in pieces:
                    piece()
                found = self.bends(doc, "--answer", "units=mm")
                rows, last = found
                if rows[0][0] < 1:  # the first piece drawn sets the direction
                    rows, last = [(40 if i else last, r[1], r[2], r[3])
                                  for i, r in enumerate(reversed(rows))], rows[0][0]
                    rows[0] = (0, 0, 120, 30) if rows[0][3] == 30 else (80, 0, 90, 20)
                total = last + sum(r[0] for r in rows)
                self.assertAlmostEqual(total, 120, 5)
                self.assertEqual(sorted(round(r[2]) for r in rows), [90, 120])

    def test_arcs_in_any_plane(self):
        # A bend in a random plane: the library turns world points into the arc's own system.
        rng = random.Random(11)
        for _ in range(20):
            axis = Vec3(rng.gauss(0, 1), rng.gauss(0, 1), rng.gauss(0, 1)).normalize()
            ahead = axis.cross(Vec3(rng.gauss(0, 1), rng.gauss(0, 1), rng.gauss(0, 1))).normalize()
            inward = axis.cross(ahead)
            corner = Vec3(rng.uniform(-500, 500), rng.uniform(-500, 500), rng.uniform(-500, 500))
            centre = corner + inward * 40
            sweep = rng.uniform(20, 170)
            ocs = OCS(axis)
            from_point = ocs.from_wcs(corner - centre)
            start = math.degrees(math.atan2(from_point.y, from_point.x))
            end_dir = ahead * math.cos(math.radians(sweep)) + inward * math.sin(math.radians(sweep))
            end = centre + (-inward * math.cos(math.radians(sweep))
                            + ahead * math.sin(math.radians(sweep))) * 40
            doc, model = drawing("R2010")
            model.add_line(corner - ahead * 100, corner)
            model.add_arc(ocs.from_wcs(centre), 40, start, start + sweep,
                          dxfattribs={"extrusion": axis})
            model.add_line(end, end + end_dir * 70)
            self.assert_bends(self.bends(doc), [(100, 0, sweep, 40)], 70)

    def test_polylines_in_space(self):
        for version in VERSIONS:
            with self.subTest(version=version):
                doc, model = drawing(version)
                model.add_polyline3d([(0, 0, 0), (400, 0, 0), (400, 300, 0), (400, 300, 250)])
                self.assert_bends(
                    self.bends(doc, "--answer", "units=mm", "--radius", "75"),
                    [(325, 0, 90, 75), (150, 90, 90, 75)], 175)

    def test_units_are_heeded_or_asked(self):
        for unit, factor in ((1, 25.4), (2, 304.8), (4, 1), (5, 10), (6, 1000)):
            doc, model = drawing("R2010", unit)
            model.add_lwpolyline([(0, 0, 0), (2, 0, math.tan(math.pi / 8)), (3, 1, 0), (3, 4, 0)],
                                 format="xyb")
            self.assert_bends(self.bends(doc), [(2 * factor, 0, 90, factor)], 3 * factor)
        doc, model = drawing("R2010", 0)
        model.add_lwpolyline([(0, 0), (100, 0), (100, 80)])
        path = self.tmp / "unitless.dxf"
        doc.saveas(path)
        code, _, err = run("show", path)
        self.assertEqual(code, 3)
        self.assertIn("[ask.units]", err)
        self.assertIn("--answer units=in", err)

    def test_blocks(self):
        doc, model = drawing("R2010")
        block = doc.blocks.new("ROD", base_point=(10, 0))
        block.add_lwpolyline([(10, 0, 0), (90, 0, math.tan(math.pi / 8)), (110, 20, 0),
                              (110, 80, 0)], format="xyb")
        model.add_blockref("ROD", (500, 500), dxfattribs={
            "rotation": 33, "xscale": 2, "yscale": 2, "zscale": 2, "layer": "TUBE"})
        self.assert_bends(self.bends(doc), [(160, 0, 90, 40)], 120)
        # Mirrored in X the bend turns the other way, which one bend alone does not show.
        doc, model = drawing("R2010")
        block = doc.blocks.new("ROD")
        block.add_line((0, 0), (80, 0))
        block.add_arc((80, 20), 20, 270, 360)
        block.add_line((100, 20), (100, 60))
        model.add_blockref("ROD", (0, 0), dxfattribs={"xscale": -1, "yscale": 1})
        self.assert_bends(self.bends(doc), [(80, 0, 90, 20)], 40)

    def test_layers(self):
        doc, model = drawing("R2018")
        for layer in ("OUTLINE", "TUBE", "DIM"):
            doc.layers.add(layer)
        model.add_lwpolyline([(-9, -9), (300, -9), (300, 200), (-9, 200)], close=True,
                             dxfattribs={"layer": "OUTLINE"})
        model.add_line((0, 300), (100, 300), dxfattribs={"layer": "DIM"})
        model.add_text("tube", dxfattribs={"layer": "DIM"})
        model.add_lwpolyline([(0, 0, 0), (80, 0, math.tan(math.pi / 8)), (100, 20, 0),
                              (100, 80, 0)], format="xyb", dxfattribs={"layer": "TUBE"})
        self.assert_bends(self.bends(doc), [(80, 0, 90, 20)], 60)
        self.assert_bends(self.bends(doc, "--layer", "TUBE"), [(80, 0, 90, 20)], 60)
        path = self.tmp / "in.dxf"
        code, _, err = run("show", path, *TUBE)
        self.assertEqual(code, 0, err)

    def test_what_we_write_is_in_order(self):
        for part in PARTS:
            for what in ("centreline", "views", "strip"):
                with self.subTest(part=part.stem, what=what):
                    path = self.tmp / "out.dxf"
                    code, _, err = run("convert", part, path, "--what", what)
                    self.assertIn(code, (0, 2), err)
                    doc = ezdxf.readfile(path)
                    audit = doc.audit()
                    self.assertEqual([str(e.message) for e in audit.errors], [])
                    self.assertEqual([str(e.message) for e in audit.fixes], [])
                    self.assertEqual(doc.units, 4)
                    self.assertGreater(len(doc.modelspace()), 0)

    def test_our_centreline_lies_where_the_part_does(self):
        for part in PARTS:
            _, out, _ = run("show", part, "--json")
            shown = json.loads(out)["part"]
            path = self.tmp / "out.dxf"
            run("convert", part, path)
            length = 0.0
            ends = []
            for entity in ezdxf.readfile(path).modelspace():
                self.assertEqual(entity.dxf.layer, "CENTRELINE")
                if entity.dxftype() == "LINE":
                    length += entity.dxf.start.distance(entity.dxf.end)
                    ends += [entity.dxf.start, entity.dxf.end]
                else:
                    sweep = (entity.dxf.end_angle - entity.dxf.start_angle) % 360
                    length += math.radians(sweep) * entity.dxf.radius
                    ends += [entity.start_point, entity.end_point]
            self.assertAlmostEqual(length, shown["developed_length_mm"], 5)
            for corner in (shown["corners_mm"][0], shown["corners_mm"][-1]):
                nearest = min(Vec3(corner).distance(Vec3(p)) for p in ends)
                self.assertLess(nearest, 1e-5, part.stem)

    def test_our_centreline_comes_back(self):
        for part in PARTS:
            with self.subTest(part=part.stem):
                wanted, again = self.tmp / "wanted.json", self.tmp / "again.json"
                dxf = self.tmp / "x.dxf"
                self.assertEqual(run("convert", part, wanted)[0], 0)
                self.assertEqual(run("convert", part, dxf)[0], 0)
                self.assertEqual(run("convert", dxf, again)[0], 0)
                a, b = json.loads(wanted.read_text()), json.loads(again.read_text())
                rows = [(r["straight_mm"], r["rotation_deg"], r["angle_deg"], r["radius_mm"])
                        for r in b["bends"]]
                self.assert_bends(
                    (rows, b["last_straight_mm"]),
                    [(r["straight_mm"], r["rotation_deg"], r["angle_deg"], r["radius_mm"])
                     for r in a["bends"]], a["last_straight_mm"], 4)

    def test_nonsense_gets_a_sentence(self):
        cases = {
            "empty.dxf": (b"", "dxf.empty"),
            "text.dxf": (b"hello\nthere\n", "dxf.syntax"),
            "nan.dxf": (b"0\nSECTION\n2\nENTITIES\n0\nLINE\n10\nnan\n", "dxf.syntax"),
            "zeros.dxf": (b"\0" * 100000, "dxf.syntax"),
            "big.dxf": (b"0\nSECTION\n2\nENTITIES\n" + b"0\nPOINT\n10\n1\n" * 800000, "dxf.none"),
        }
        for name, (data, expected) in cases.items():
            path = self.tmp / name
            path.write_bytes(data)
            code, _, err = run("show", path, "--answer", "units=mm")
            self.assertEqual(code, 3, name)
            self.assertIn(f"[{expected}]", err, name)


if __name__ == "__main__":
    unittest.main()
