"""Holds the pictures we write to the glTF standard's own validator, and STL to the tube's volume.

Needs BIGHT=program, and tests/node installed with `npm ci`.
"""

import json
import math
import os
import pathlib
import struct
import subprocess
import tempfile
import unittest

ROOT = pathlib.Path(__file__).resolve().parent.parent
BIGHT = os.environ["BIGHT"]
PARTS = sorted((ROOT / "examples/fenwater/parts").glob("*.toml"))


def run(*args):
    done = subprocess.run([BIGHT, *map(str, args)], capture_output=True, text=True, check=False)
    return done.returncode, done.stdout, done.stderr


def stl_volume(path):
    data = path.read_bytes()
    (num,) = struct.unpack_from("<I", data, 80)
    assert len(data) == 84 + 50 * num
    sixfold = 0.0
    for i in range(num):
        v = struct.unpack_from("<12f", data, 84 + 50 * i)[3:]
        a, b, c = v[0:3], v[3:6], v[6:9]
        sixfold += (
            a[0] * (b[1] * c[2] - b[2] * c[1])
            + a[1] * (b[2] * c[0] - b[0] * c[2])
            + a[2] * (b[0] * c[1] - b[1] * c[0])
        )
    return sixfold / 6


class Pictures(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.addCleanup(self.folder.cleanup)
        self.tmp = pathlib.Path(self.folder.name)

    def test_every_demo_part_is_valid_gltf(self):
        self.assertGreaterEqual(len(PARTS), 8)
        files = []
        for part in PARTS:
            for ending in ("glb", "gltf"):
                path = self.tmp / f"{part.stem}.{ending}"
                code, _, err = run("convert", part, path, "--tolerance", "0.2")
                self.assertEqual(code, 0, err)
                files.append(path)
        done = subprocess.run(
            ["node", str(ROOT / "tests/node/validate.mjs"), *map(str, files)],
            capture_output=True, text=True, check=False)
        self.assertEqual(done.returncode, 0, done.stderr)
        reports = [json.loads(line) for line in done.stdout.splitlines()]
        self.assertEqual(len(reports), len(files))
        for report in reports:
            issues = report["issues"]
            self.assertEqual((issues["numErrors"], issues["numWarnings"]), (0, 0), report)
            self.assertGreater(report["info"]["totalTriangleCount"], 100)

    def test_films_are_valid_gltf(self):
        files = []
        for name in ("pulpit-rail", "gate-brace"):
            for ending in ("glb", "gltf"):
                path = self.tmp / f"{name}.{ending}"
                part = ROOT / f"examples/fenwater/parts/{name}.toml"
                code, _, err = run("clear", part, "--film", path)
                self.assertIn(code, (0, 2), err)
                files.append(path)
        done = subprocess.run(
            ["node", str(ROOT / "tests/node/validate.mjs"), *map(str, files)],
            capture_output=True, text=True, check=False)
        self.assertEqual(done.returncode, 0, done.stderr)
        for report in map(json.loads, done.stdout.splitlines()):
            issues = report["issues"]
            self.assertEqual((issues["numErrors"], issues["numWarnings"]), (0, 0), report)
            self.assertGreaterEqual(report["info"]["animationCount"], 1)

    def test_a_broken_file_is_noticed(self):
        path = self.tmp / "x.glb"
        self.assertEqual(run("convert", PARTS[0], path)[0], 0)
        path.write_bytes(path.read_bytes()[:-40])
        done = subprocess.run(["node", str(ROOT / "tests/node/validate.mjs"), str(path)],
                              capture_output=True, text=True, check=False)
        failed = done.returncode != 0
        self.assertTrue(failed or json.loads(done.stdout)["issues"]["numErrors"] > 0)

    def test_stl_has_the_volume_of_round_tube(self):
        # pi/4 (D^2 - d^2) L: Pappus's second theorem holds along the bends, too.
        seen = 0
        for part in PARTS:
            _, out, _ = run("show", part, "--json")
            shown = json.loads(out)["part"]
            tube = shown["tube"]
            if not tube["round"]:
                continue
            path = self.tmp / "x.stl"
            self.assertEqual(run("convert", part, path, "--tolerance", "0.02")[0], 0)
            od, wall = tube["height_mm"], tube["wall_mm"]
            exact = math.pi / 4 * (od**2 - (od - 2 * wall) ** 2) * shown["developed_length_mm"]
            volume = stl_volume(path)
            # The triangles lie inside: short by 4/3 of sagitta over radius, section and bends.
            self.assertLess(volume, exact * (1 + 1e-5))
            self.assertGreater(volume, exact * (1 - 2 * 4 / 3 * 0.02 / (od / 2)))
            seen += 1
        self.assertGreaterEqual(seen, 5)


if __name__ == "__main__":
    unittest.main()
