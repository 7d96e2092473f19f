#!/usr/bin/python3
"""Pure bending of a thin slice of round tube, solid elements, elastic-plastic, for CalculiX (ccx).

A check of the bend engine from outside, not part of the tests. One slice of angle theta between two
planes through the bend's axis; half of it (the plane of bending is a plane of symmetry). Steps:
  1 bend with the outer surface held on its circle (girth), held round but free to shrink (round),
    or not held (free),
  2 take the moment off with the section as it was held,
  3 (girth only) let the section go.
Writes one CSV row per case on standard output.

  slice.py --wall-factor 25 --clr 3 --law swift
  slice.py --all > results.csv
"""
import argparse
import math
import os
import re
import subprocess
import sys
import tempfile

YOUNGS, POISSON = 205000.0, 0.3
LAWS = {
    "swift": lambda p: 700.0 * (0.01 + p) ** 0.2,
    "perfect": lambda p: 350.0 + 0.001 * p,
}
OD = 40.0
THETA = 0.01  # rad; the planes' angle, small so that the slice is short against the tube
REF = 900000  # reference node: dof 1 axial shift, dof 2 rotation


def input_deck(wall, clr, law, support, circ, thick):
    """The deck and what is needed to read its results."""
    length = THETA * clr
    r_out = OD / 2
    sin_t, cos_t = math.sin(THETA), math.cos(THETA)
    lines = ["*NODE, NSET=NALL"]
    number = {}
    place = {}
    for face in range(2):
        for j in range(thick + 1):
            radius = r_out - wall + wall * j / thick
            for i in range(circ + 1):
                a = math.pi * i / circ  # from the outside of the bend
                n = 1 + i + (circ + 1) * (j + (thick + 1) * face)
                number[face, j, i] = n
                place[n] = (radius * math.sin(a), radius * math.cos(a), face * length)
                lines.append("%d, %.12g, %.12g, %.12g" % ((n,) + place[n]))
    lines.append("%d, 0, 0, 0" % REF)
    lines.append("*ELEMENT, TYPE=C3D8I, ELSET=TUBE")
    e = 0
    for j in range(thick):
        for i in range(circ):
            e += 1
            c = [number[0, j, i], number[0, j, i + 1], number[0, j + 1, i + 1], number[0, j + 1, i]]
            d = [number[1, j, i], number[1, j, i + 1], number[1, j + 1, i + 1], number[1, j + 1, i]]
            lines.append(", ".join(map(str, [e] + c + d)))
    near = [number[0, j, i] for j in range(thick + 1) for i in range(circ + 1)]
    far = [number[1, j, i] for j in range(thick + 1) for i in range(circ + 1)]
    for name, nodes in (("NEAR", near), ("FAR", far)):
        lines.append("*NSET, NSET=%s" % name)
        lines += [str(n) for n in nodes]
    lines.append("*NSET, NSET=SYM")
    lines += [str(number[f, j, i]) for f in range(2) for j in range(thick + 1) for i in (0, circ)]
    lines.append("*NSET, NSET=REF\n%d" % REF)
    # Everything is tied in global directions: transformed axes and equations on one node disturb
    # each other when a later step takes boundary conditions away.
    for n in far:  # on the plane that the far face has at the end, shifted and turned
        height = place[n][1] * cos_t
        lines.append("*EQUATION\n4\n%d, 3, %.12g, %d, 2, %.12g, %d, 1, -1, %d, 2, %.12g" %
                     (n, cos_t, n, -sin_t, REF, REF, -height))
    # Radial movement of each outer node is a number of its own (girth), one for all (round).
    holds = []
    for f in range(2):
        for i in range(circ + 1) if support != "free" else (0,):
            n = number[f, thick, i]
            a = math.pi * i / circ
            hold = REF + 1 if support == "round" else REF + 10 + f * 1000 + i
            if hold not in holds:
                holds.append(hold)
                lines.append("*NODE\n%d, 0, 0, 0" % hold)
            x, y = math.sin(a), math.cos(a)
            terms = [(n, 1, x), (n, 2, y)] if abs(x) > abs(y) else [(n, 2, y), (n, 1, x)]
            terms = [t for t in terms if not (t[1] == 1 and i in (0, circ))]
            lines.append("*EQUATION\n%d\n%s, %d, 1, -1" % (
                len(terms) + 1, ", ".join("%d, %d, %.12g" % t for t in terms), hold))
    lines.append("*MATERIAL, NAME=METAL\n*ELASTIC\n%g, %g\n*PLASTIC" % (YOUNGS, POISSON))
    p = 0.0
    while p < 1.5:
        lines.append("%.8g, %.8g" % (LAWS[law](p), p))
        p = max(1.15 * p, p + 2e-4)
    lines.append("*SOLID SECTION, ELSET=TUBE, MATERIAL=METAL")
    crown = [REF + 10, REF + 1010]  # hold the crown's height always, so that nothing floats
    held = "" if support == "round" else "".join("%d, 1, 1\n" % h for h in holds)
    fixed = "*BOUNDARY, OP=NEW\nNEAR, 3, 3\nSYM, 1, 1\n"
    # The axial force is zero only as well as the residuals are small: far below the defaults.
    tight = "*CONTROLS, PARAMETERS=FIELD\n1e-5, 1e-3, 1e-5, , , 1e-6\n"
    out = ("*NODE PRINT, NSET=REF, FREQUENCY=100000\nU\n"
           "*NODE PRINT, NSET=NALL, GLOBAL=YES, FREQUENCY=100000\nU\n"
           "*NODE PRINT, NSET=NEAR, GLOBAL=YES, FREQUENCY=100000\nRF\n"
           "*NODE FILE, FREQUENCY=100000\nU\n*END STEP")
    lines.append("*STEP, NLGEOM, INC=2000\n*STATIC\n0.01, 1, 1e-6, 0.02\n" + tight + fixed + held +
                 "%d, 2, 2, %.12g\n" % (REF, sin_t) + out)
    lines.append("*STEP, NLGEOM, INC=2000\n*STATIC\n0.05, 1, 1e-6, 0.1\n" + tight + fixed + held + out)
    if support == "girth":
        lines.append("*STEP, NLGEOM, INC=2000\n*STATIC\n0.02, 1, 1e-6, 0.05\n" + tight + fixed +
                     "".join("%d, 1, 1\n" % h for h in crown) + out)
    return "\n".join(lines) + "\n", place, number, length


def blocks(dat):
    """Printed blocks in order: (kind, set, time, {node: values})."""
    found = []
    for line in dat.splitlines():
        head = re.match(r" (\w+).* for set (\w+) and time\s+(\S+)", line)
        if head:
            found.append((head.group(1), head.group(2), float(head.group(3)), {}))
        elif found and line.strip():
            words = line.split()
            if words[0].isdigit():
                found[-1][3][int(words[0])] = tuple(float(w) for w in words[1:4])
    return found


def run(wall_factor, clr_ratio, law, support, circ, thick):
    wall, clr = OD / wall_factor, OD * clr_ratio
    deck, place, number, length = input_deck(wall, clr, law, support, circ, thick)
    with tempfile.TemporaryDirectory() as folder:
        with open(os.path.join(folder, "slice.inp"), "w") as f:
            f.write(deck)
        subprocess.run(["ccx", "slice"], cwd=folder, stdout=subprocess.DEVNULL,
                       stderr=subprocess.DEVNULL, timeout=3000)
        with open(os.path.join(folder, "slice.dat")) as f:
            found = blocks(f.read())
    state = {}
    for kind, name, time, values in found:
        step = int(math.ceil(time - 1e-9))
        if abs(time - step) < 1e-9:
            state[step, kind, name] = values
    row = {"wall_factor": wall_factor, "clr_ratio": clr_ratio, "law": law,
           "support": support, "elements": circ * thick}
    if (1, "forces", "NEAR") not in state:
        row["verdict"] = "did not reach the radius"
        return row
    shift, turn = state[1, "displacements", "REF"][REF][:2]
    radius = (math.cos(THETA) * length + shift) / math.sin(THETA)
    row["loaded_radius_mm"] = "%.4f" % radius
    row["stretch_ratio"] = "%.6f" % (radius * THETA / length - 1)
    u = state[1, "displacements", "NALL"]

    def where(n):
        return tuple(a + b for a, b in zip(place[n], u[n]))

    # Half the tube is modelled; the force on the near plane about the centreline.
    row["moment_nm"] = "%.3f" % (2e-3 * abs(sum(f[2] * where(n)[1] for n, f in
                                                state[1, "forces", "NEAR"].items())))

    def thickness(i):
        return math.dist(where(number[0, thick, i]), where(number[0, 0, i])) / wall

    row["wall_outer_ratio"] = "%.4f" % thickness(0)
    row["wall_inner_ratio"] = "%.4f" % thickness(circ)
    last = 3 if support == "girth" else 2
    for step, name in ((1, "loaded"), (last, "released")):
        if (step, "displacements", "NALL") not in state:
            continue
        u = state[step, "displacements", "NALL"]
        height = (where(number[0, thick, 0])[1] - where(number[0, thick, circ])[1])
        width = 2 * where(number[0, thick, circ // 2])[0]
        row["ovality_%s_pct" % name] = "%.3f" % (100 * (width - height) / OD)
    for step, name in {"girth": ((2, "q_held"), (3, "q_total")), "round": ((2, "q_held"),),
                       "free": ((2, "q_total"),)}[support]:
        if (step, "displacements", "REF") in state:
            row[name] = "%.6f" % ((turn - state[step, "displacements", "REF"][REF][1]) / THETA)
    return row


COLUMNS = ["wall_factor", "clr_ratio", "law", "support", "elements", "loaded_radius_mm", "moment_nm",
           "stretch_ratio", "wall_outer_ratio", "wall_inner_ratio", "ovality_loaded_pct", "q_held",
           "q_total", "ovality_released_pct", "verdict"]


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--wall-factor", type=float, default=25)
    parser.add_argument("--clr", type=float, default=3, help="centreline radius in diameters")
    parser.add_argument("--law", choices=sorted(LAWS), default="swift")
    parser.add_argument("--support", choices=("girth", "round", "free"), default="girth",
                        help="outer surface fixed; round but free to shrink; not held")
    parser.add_argument("--circ", type=int, default=40)
    parser.add_argument("--thick", type=int, default=4)
    parser.add_argument("--all", action="store_true")
    a = parser.parse_args()
    print(",".join(COLUMNS))
    cases = [(a.wall_factor, a.clr, a.law, a.support)]
    if a.all:
        cases = [(w, c, "swift", "girth") for w in (10, 25, 40) for c in (2, 3, 6, 10)]
        cases += [(w, c, "swift", "round") for w in (10, 25) for c in (2, 3, 6)]
        cases += [(w, c, "swift", "free") for w in (10, 25) for c in (10, 20, 30)]
        cases += [(w, c, "perfect", "girth") for w in (10, 25, 40) for c in (2, 3, 6, 10)]
    for case in cases:
        row = run(*case, a.circ, a.thick)
        print(",".join(str(row.get(c, "")) for c in COLUMNS))
        sys.stdout.flush()


if __name__ == "__main__":
    main()
