"""A second opinion on two labelled arches, by other code: outside CI.

    python3 -m venv venv && venv/bin/pip install casadi
    venv/bin/python lang/docs/second_opinion.py H06 0.014        # case of tests/data/limits.json, wire in inches
    venv/bin/python lang/docs/second_opinion.py H04 0.019x0.025
    venv/bin/python lang/docs/second_opinion.py H06 0.014 --walk 42   # that tooth goes in by steps

Nothing here is shared with the solver. The wire is a chain of stiff straight pieces in space, each turned by a
quaternion; a stretch between two edges may take any length, which is free sliding; bending and twist sit at
the joints, fibre by fibre. The general-purpose optimiser IPOPT finds the least energy under the slots' walls.
No piece is a graph over the arch line, so none can stand upright by mistake.
"""

import json
import math
import sys
from pathlib import Path

import casadi as ca
import numpy as np

GRAM = 0.00980665
LAW = dict(ea=55e3, em=25e3, up=(460.0, 510.0), low=(185.0, 235.0), strain=0.055, g=20e3)
GIVE = np.array([0.1, 0.1, 0.1 / 50, 0.1 / 125, 0.1 / 125])  # lingual, gingival, rotation, tip, torque
SLOT = (0.022 * 25.4, 0.028 * 25.4)


def path(start, end):
    ea, em = LAW["ea"], LAW["em"]
    e1, e2 = start / ea, LAW["strain"] + end / em
    return e1, start, e2, (end - start) / (e2 - e1)


UP, LOW = path(*LAW["up"]), path(*LAW["low"])


def potential(e, p, over):
    """Of a path at strains not negative; `over` is max(x, 0)."""
    e1, _, e2, slope = p
    a, b = over(e - e1), over(e - e2)
    return 0.5 * (LAW["ea"] * e * e - (LAW["ea"] - slope) * a * a + (LAW["em"] - slope) * b * b)


def stress(e, p):
    e1, s1, e2, slope = p
    return LAW["ea"] * min(e, e1) + slope * (min(max(e, e1), e2) - e1) + LAW["em"] * max(e - e2, 0.0)


def ray(share):
    """Slope, foot, the strains between which it runs, and the potentials that go with them."""
    rigidity = 1.0 / (1 / LAW["ea"] + share * (1 / LAW["em"] - 1 / LAW["ea"]))
    foot = LAW["strain"] * share
    meets = lambda p: (rigidity * foot + p[1] - p[3] * p[0]) / (rigidity - p[3])
    a, b = meets(LOW), meets(UP)
    over = lambda x: max(x, 0.0)
    begins = potential(a, LOW, over)
    lacks = begins + 0.5 * (b - a) * rigidity * (a + b - 2 * foot) - potential(b, UP, over)
    return rigidity, foot, a, b, begins, lacks


def next_share(strain, share):
    """Transformed share after an increment has ended at this strain."""
    e, sign = abs(strain), math.copysign(1.0, strain)
    share = abs(share) if share * strain > 0 else 0.0
    rigidity, foot, *_ = ray(share)
    s = min(stress(e, UP), max(stress(e, LOW), rigidity * (e - foot)))
    full = LAW["strain"] + s * (1 / LAW["em"] - 1 / LAW["ea"])
    return sign * min(max((e - s / LAW["ea"]) / full, 0.0), 1.0)


class Section:
    """Half of a section (the law is odd), its fibres with doubled area: depth, height, area."""

    def __init__(self, inches):
        sizes = [25.4 * float(x) for x in inches.split("x")]
        if len(sizes) == 1:
            r = sizes[0] / 2
            self.height = self.depth = sizes[0]
            rings, rays = 8, 12
            fibres = []
            for i in range(rings):
                r0, r1 = r * i / rings, r * (i + 1) / rings
                at = math.sqrt((r0**4 - r1**4) / (r0**2 - r1**2) / 2)  # keeps the inertia
                for j in range(rays):
                    turn = math.pi * (j + 0.5) / rays
                    fibres.append((at * math.cos(turn), at * math.sin(turn), math.pi * (r1**2 - r0**2) / rays))
            self.gj = LAW["g"] * math.pi * r**4 / 2
            self.play = None
        else:
            self.height, self.depth = sizes
            n, m = 12, 6
            grow = lambda k: 1 / math.sqrt(1 - 1 / k**2)
            fibres = [
                (self.depth * ((i + 0.5) / n - 0.5) * grow(n), self.height * 0.5 * (j + 0.5) / m * grow(2 * m), 2 * self.depth * self.height / (2 * n * m))
                for i in range(n)
                for j in range(m)
            ]
            a, b = max(sizes), min(sizes)
            series = sum(math.tanh((2 * k + 1) * math.pi * a / (2 * b)) / (2 * k + 1) ** 5 for k in range(40))
            self.gj = LAW["g"] * a * b**3 / 3 * (1 - 192 * b / (math.pi**5 * a) * series)
            self.play = self.roll()
        self.fibres = np.array(fibres)

    def roll(self):
        h, d, slot = self.height, self.depth, SLOT[0]
        for t in np.arange(0.0, 1.5, 1e-5):
            if d * math.sin(t) + h * math.cos(t) > slot:
                return t
        return None


def arch_point(a, s):
    length = math.hypot(a, s)
    return np.array([a * math.asinh(s / a), s * s / (length + a)]), np.array([a / length, s / length])


class Arch:
    def __init__(self, case, section, per_span, per_slot):
        self.case, self.section = case, section
        self.a = case["arch"]["parameter_mm"]
        self.teeth = case["teeth"]
        self.parts = []  # pieces of each stretch: slot, span, slot, ...
        for n in range(len(self.teeth)):
            self.parts += [per_slot] if n == 0 else [per_span, per_slot]
        self.pieces = sum(self.parts)
        self.edge_node = np.concatenate([[0], np.cumsum(self.parts)])
        self.shares = np.zeros((self.pieces - 1, len(section.fibres)))
        self.build()

    def build(self):
        n, t = self.pieces, len(self.teeth)
        x, q, h = ca.MX.sym("x", 3, n + 1), ca.MX.sym("q", 4, n), ca.MX.sym("h", len(self.parts))
        give = ca.MX.sym("give", 5, t)
        frames = ca.MX.sym("frames", 6, 2 * t)  # place and tangent in the plane, lingual and gingival target
        arms, rest = ca.MX.sym("arms", 2 * t), ca.MX.sym("rest", n - 1)
        torque = ca.MX.sym("torque", t)
        state = ca.MX.sym("state", 7 * len(self.section.fibres), n - 1)
        owner = np.repeat(np.arange(len(self.parts)), self.parts)

        def rows(Q):
            w, i, j, k = Q[0], Q[1], Q[2], Q[3]
            return [
                ca.vertcat(1 - 2 * (j * j + k * k), 2 * (i * j + w * k), 2 * (i * k - w * j)),
                ca.vertcat(2 * (i * j - w * k), 1 - 2 * (i * i + k * k), 2 * (j * k + w * i)),
                ca.vertcat(2 * (i * k + w * j), 2 * (j * k - w * i), 1 - 2 * (i * i + j * j)),
            ]

        # One joint: energy per length from the turn between two pieces.
        A, B, length, r0, st = ca.SX.sym("A", 4), ca.SX.sym("B", 4), ca.SX.sym("l"), ca.SX.sym("r"), ca.SX.sym("s", state.shape[0])
        w = A[0] * B[0] + A[1] * B[1] + A[2] * B[2] + A[3] * B[3]
        v = [
            A[0] * B[1] - A[1] * B[0] - A[2] * B[3] + A[3] * B[2],
            A[0] * B[2] + A[1] * B[3] - A[2] * B[0] - A[3] * B[1],
            A[0] * B[3] - A[1] * B[2] + A[2] * B[1] - A[3] * B[0],
        ]
        turn = [2 * c / w / length for c in v]
        k1, k2 = turn[2] - r0, -turn[1]
        energy = 0.5 * self.section.gj * turn[0] ** 2
        over = lambda y: ca.fmax(y, 0)
        for f, (d, hh, area) in enumerate(self.section.fibres):
            e = d * k1 + hh * k2
            rig, foot, lo, hi, begins, lacks, sign = [st[7 * f + c] for c in range(7)]
            same = e * sign > 0
            m = ca.fabs(e)
            lo, hi, lacks = ca.if_else(same, lo, 0), ca.if_else(same, hi, 0), ca.if_else(same, lacks, 0)
            up = lacks + potential(m, UP, over)
            mid = begins + 0.5 * (m - lo) * rig * (m + lo - 2 * foot)
            energy += area * ca.if_else(m < lo, potential(m, LOW, over), ca.if_else(m < hi, mid, up))
        joint = ca.Function("joint", [A, B, length, r0, st], [energy * length])
        self.curved = ca.Function("curved", [A, B, length, r0], [ca.vertcat(k1, k2)])

        pieces = ca.horzcat(*[h[int(o)] for o in owner])
        lengths = 0.5 * (pieces[0, : n - 1] + pieces[0, 1:])
        total = ca.sum2(joint.map(n - 1)(q[:, : n - 1], q[:, 1:], lengths, rest.T, state))
        for k in range(5):
            total += ca.sum2(give[k, :] ** 2) / (2 * GIVE[k])
        g, low, high = [], [], []
        for i in range(n):
            g += [x[:, i + 1] - x[:, i] - pieces[0, i] * rows(q[:, i])[0], ca.dot(q[:, i], q[:, i]) - 1]
            low += [0, 0, 0, 0]
            high += [0, 0, 0, 0]
        wire = self.section
        for e, node in enumerate(self.edge_node):
            tooth = e // 2
            px, py, tx, ty, lingual, gingival = [frames[c, e] for c in range(6)]
            rx, ry, rz = x[0, int(node)] - px, x[1, int(node)] - py, x[2, int(node)]
            g += [rx * tx + ry * ty]
            low += [0]
            high += [0]
            y = -rx * ty + ry * tx
            g += [y - lingual - give[0, tooth] - arms[e] * give[2, tooth], rz - gingival - give[1, tooth] - arms[e] * give[3, tooth]]
            own = self.teeth[tooth]
            half_y = 0.5 * (SLOT[1] - wire.depth) / math.cos(math.radians(own["rotated_deg"]))
            half_z = 0.5 * (SLOT[0] - wire.height) / math.cos(math.radians(own["tipped_deg"]))
            low += [-half_y, -half_z]
            high += [half_y, half_z]
            if wire.play is not None:
                i = min(max(int(node), 1), n - 1)
                _, d1, d2 = rows(q[:, i - 1] + q[:, i])
                g += [ca.atan2(d1[2], d2[2]) - torque[tooth] - give[4, tooth]]
                low += [-wire.play]
                high += [wire.play]
        z = ca.veccat(x, q, h, give)
        p = ca.veccat(frames, arms, rest, torque, state)
        quiet = {"ipopt.print_level": 0, "print_time": 0, "ipopt.sb": "yes", "ipopt.max_iter": 1500, "ipopt.tol": 1e-9, "ipopt.mu_strategy": "adaptive"}
        self.solver = ca.nlpsol("wire", "ipopt", {"x": z, "p": p, "f": total, "g": ca.vertcat(*g)}, quiet)
        self.split = lambda v: (
            v[: 3 * (n + 1)].reshape(n + 1, 3),
            v[3 * (n + 1) : 3 * (n + 1) + 4 * n].reshape(n, 4),
            v[3 * (n + 1) + 4 * n : 3 * (n + 1) + 4 * n + len(self.parts)],
            v[-5 * t :].reshape(t, 5),
        )
        self.low, self.high = low, high
        below = np.full(z.shape[0], -np.inf)
        below[3 * (n + 1) + 4 * n : 3 * (n + 1) + 4 * n + len(self.parts)] = 1e-3
        self.below = below

    def edges(self, stands):
        """Station, lingual, gingival and arm of every edge of the slots at these stands."""
        out = []
        for t, s in zip(self.teeth, stands):
            for side in (-1, 1):
                along, lingual, gingival = side * t["bracket_mm"] / 2, 0.0, 0.0
                c, sn = math.cos(s[3]), math.sin(s[3])
                along, gingival = c * along, sn * along
                c, sn = math.cos(s[2]), math.sin(s[2])
                along, lingual = c * along, sn * along
                out.append((t["station_mm"] + along, s[0] + lingual, s[1] + gingival, along))
        return out

    def solve(self, stands, start):
        edges = self.edges(stands)
        frames = np.array([[*arch_point(self.a, e[0])[0], *arch_point(self.a, e[0])[1], e[1], e[2]] for e in edges]).T
        stations = np.concatenate(
            [np.linspace(edges[i][0], edges[i + 1][0], self.parts[i], endpoint=False) for i in range(len(self.parts))] + [[edges[-1][0]]]
        )
        rest = self.a / (self.a**2 + stations[1:-1] ** 2)
        rays = {}
        state = np.zeros((self.pieces - 1, self.shares.shape[1], 7))
        for v in range(self.pieces - 1):
            for f in range(self.shares.shape[1]):
                share = self.shares[v, f]
                if share == 0.0:
                    continue
                state[v, f] = [*ray(abs(share)), math.copysign(1.0, share)]
        p = np.concatenate([frames.T.ravel(), [e[3] for e in edges], rest, [s[4] for s in stands], state.reshape(self.pieces - 1, -1).ravel()])
        if start is None:
            at = [arch_point(self.a, s) for s in stations]
            places = np.array([[*c, 0.0] for c, _ in at])
            turns = np.arctan2(np.diff(places[:, 1]), np.diff(places[:, 0]))
            quat = np.stack([np.cos(turns / 2), 0 * turns, 0 * turns, np.sin(turns / 2)], 1)
            h = np.array([(edges[i + 1][0] - edges[i][0]) / self.parts[i] for i in range(len(self.parts))])
            start = np.concatenate([places.ravel(), quat.ravel(), h, np.zeros(5 * len(self.teeth))])
        r = self.solver(x0=start, p=p, lbg=self.low, ubg=self.high, lbx=self.below)
        ok = self.solver.stats()["success"]
        v = np.array(r["x"]).ravel()
        self.rest = rest
        return v, float(r["f"]), ok

    def forces(self, v):
        give = self.split(v)[3]
        return give / GIVE

    def steepest(self, v):
        """Largest angle between the wire and the arch line at the same station, deg."""
        x, *_ = self.split(v)
        worst = 0.0
        for i in range(self.pieces):
            d = x[i + 1] - x[i]
            mid = 0.5 * (x[i + 1] + x[i])
            s = self.a * math.sinh(mid[0] / self.a)
            for _ in range(20):
                c, t = arch_point(self.a, s)
                s += np.dot(mid[:2] - c, t)
            t = arch_point(self.a, s)[1]
            ahead = np.dot(d[:2], t)
            worst = max(worst, math.degrees(math.acos(np.clip(ahead / np.linalg.norm(d), -1, 1))))
        return worst

    def remember(self, v):
        _, q, h, _ = self.split(v)
        owner = np.repeat(np.arange(len(self.parts)), self.parts)
        strain = 0.0
        for i in range(self.pieces - 1):
            length = 0.5 * (h[owner[i]] + h[owner[i + 1]])
            k = np.array(self.curved(q[i], q[i + 1], length, self.rest[i])).ravel()
            for f, (d, hh, _) in enumerate(self.section.fibres):
                e = d * k[0] + hh * k[1]
                strain = max(strain, abs(e))
                self.shares[i, f] = next_share(e, self.shares[i, f])
        return strain


def stands_of(case, share=1.0, only=None, others=1.0):
    out = []
    for t in case["teeth"]:
        part = share if only in (None, t["tooth"]) else others
        rad = lambda k: math.radians(t[k]) * part
        out.append([part * t["lingual_mm"], part * t["gingival_mm"], rad("rotated_deg"), rad("tipped_deg"), rad("torque_deg")])
    return out


def report(arch, v, label, energy, ok):
    f = arch.forces(v)
    size = np.hypot(f[:, 0], f[:, 1])
    worst = int(np.argmax(size))
    print(
        f"{label}: {'ok' if ok else 'NOT CONVERGED'} energy {energy:.4f} N mm, worst {arch.teeth[worst]['tooth']} {size[worst]:.4f} N = {size[worst] / GRAM:.0f} g, "
        f"steepest {arch.steepest(v):.1f} deg; " + " ".join(f"{t['tooth']} {s:.3f}" for t, s in zip(arch.teeth, size)),
        flush=True,
    )
    return f, size


def main():
    name, wire = sys.argv[1:3]
    fine = int(sys.argv[sys.argv.index("--fine") + 1]) if "--fine" in sys.argv else 12
    data = Path(sys.argv[sys.argv.index("--data") + 1]) if "--data" in sys.argv else Path(__file__).parent / "../mechanics/tests/data/limits.json"
    case = next(c for c in json.load(open(data))["cases"] if c["id"] == name)
    arch = Arch(case, Section(wire), fine, max(3, fine // 3))
    v = None
    walk = sys.argv[sys.argv.index("--walk") + 1] if "--walk" in sys.argv else None
    for share in (np.arange(0.1, 1.16, 0.05) if walk else (0.3, 0.6, 0.8, 0.9, 1.0)):
        stands = stands_of(case, share, walk)
        v, energy, ok = arch.solve(stands, v)
        report(arch, v, f"{name} {wire} stands x {share:.2f}", energy, ok)
    if walk:
        return
    f, size = report(arch, v, "in", energy, ok)
    print(f"strain {100 * arch.remember(v):.2f} %")
    stands = stands_of(case)
    for step in range(5):
        # A couple counts by its lever, as in the march of the mechanics.
        travel = 0.1 / max(size.max(), *(np.abs(f[:, k]).max() / math.sqrt(square) for k, square in ((2, 50), (3, 125), (4, 125))))
        for s, own in zip(stands, f):
            for k, lever in enumerate((1, 1, 1 / 50, 1 / 125, 1 / 125)):
                s[k] += travel * lever * own[k]
        v, energy, ok = arch.solve(stands, v)
        f, size = report(arch, v, f"after {0.1 * (step + 1):.1f} mm", energy, ok)
        arch.remember(v)


if __name__ == "__main__":
    main()
