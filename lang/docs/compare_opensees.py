"""Springline's wire against a general finite-element package, outside CI.

    python3 -m venv venv && venv/bin/pip install openseespy
    venv/bin/python lang/docs/compare_opensees.py

Prints, for each case, the forces of both, the largest difference over the largest force, and the times.
"""

import subprocess
import time

import openseespy.opensees as ops


def beam(points, per_segment, material):
    """A straight 2-D beam through the points; returns the node tags at them."""
    ops.wipe()
    ops.model("basic", "-ndm", 2, "-ndf", 3)
    tags, tag, x = [], 1, points[0]
    ops.node(tag, x, 0.0)
    tags.append(tag)
    section = material()
    for a, b in zip(points, points[1:]):
        for i in range(1, per_segment + 1):
            tag += 1
            ops.node(tag, a + (b - a) * i / per_segment, 0.0)
            section(tag - 1, tag)
        tags.append(tag)
    ops.fix(tags[0], 1, 0, 0)
    return tags


def solve(steps, per_step):
    ops.constraints("Penalty", 1e9, 1e9)
    ops.numberer("RCM")
    ops.system("BandGeneral")
    ops.test("NormDispIncr", 1e-9, 100)
    ops.algorithm("Newton")
    ops.integrator("LoadControl", 1.0 / per_step)
    ops.analysis("Static")
    for _ in range(steps):
        if ops.analyze(per_step) != 0:
            raise RuntimeError("no convergence")
        yield


def linear(x, y, diameter, modulus):
    def material():
        area, inertia = 3.141592653589793 * diameter**2 / 4, 3.141592653589793 * diameter**4 / 64
        ops.geomTransf("Linear", 1)
        return lambda i, j: ops.element("elasticBeamColumn", j, i, j, area, modulus, inertia, 1)

    start = time.perf_counter()
    tags = beam(x, 2, material)
    ops.timeSeries("Linear", 1)
    ops.pattern("Plain", 1, 1)
    for tag, offset in zip(tags, y):
        ops.sp(tag, 2, offset)
    list(solve(1, 1))
    ops.reactions()
    forces = [ops.nodeReaction(t, 2) for t in tags]
    return forces, time.perf_counter() - start


def round_patch(diameter):
    return lambda: ops.patch("circ", 1, 24, 12, 0.0, 0.0, 0.0, diameter / 2, 0.0, 360.0)


def rectangle_patch(bent, across):
    return lambda: ops.patch("rect", 1, 48, 1, -bent / 2, -across / 2, bent / 2, across / 2)


def superelastic(x, path, patch, e, slope, upper, beta):
    def material():
        ops.geomTransf("Linear", 1)
        ops.uniaxialMaterial("ASD_SMA_3K", 1, e, slope, e, upper, beta)
        ops.section("Fiber", 1)
        patch()
        ops.beamIntegration("Legendre", 1, 1, 3)
        return lambda i, j: ops.element("dispBeamColumn", j, i, j, 1, 1)

    start = time.perf_counter()
    tags = beam(x, 10, material)
    # One value more, so that rounding of the last time does not run off the path.
    ops.timeSeries("Path", 1, "-time", *range(len(path) + 2), "-values", 0.0, *path, path[-1])
    ops.pattern("Plain", 1, 1)
    for i in (2, 3):
        ops.sp(tags[i], 2, 1.0)
    for i in (0, 1, 4, 5):
        ops.fix(tags[i], 0, 1, 0)
    out = []
    for _ in solve(len(path), 40):
        ops.reactions()
        out.append([ops.nodeReaction(t, 2) for t in tags])
    return out, time.perf_counter() - start


def ours():
    run = subprocess.run(
        "cargo test --release -p springline-mechanics --test physics -- --ignored --nocapture compare".split(),
        capture_output=True,
        text=True,
        check=True,
    )
    found = {}
    for line in run.stdout.splitlines():
        if line.startswith("COMPARE "):
            _, name, *numbers = line.split()
            found[name] = [float(n) for n in numbers]
    return found


def show(name, theirs, own, their_time, own_time):
    largest = max(abs(f) for f in theirs)
    apart = max(abs(a - b) for a, b in zip(theirs, own)) / largest
    print(f"{name}: difference {apart:.1e} of {largest:.3f} N", end="")
    if own_time:
        print(f"; {their_time * 1e3:.2f} ms against {own_time * 1e3:.3f} ms, {their_time / own_time:.0f} times", end="")
    print()


if __name__ == "__main__":
    mine = ours()
    centres = [-47.75, -37, -28, -21, -14, -7.75, -2.5, 2.5, 7.75, 14, 21, 28, 37, 47.75]
    widths = [3.0] * 5 + [2.5] * 4 + [3.0] * 5
    x = [c + side * w / 2 for c, w in zip(centres, widths) for side in (-1, 1)]
    y = [0.3 if n // 2 == 5 else 0.0 for n in range(28)]
    theirs, spent = linear(x, y, 0.4064, 200e3)
    show("14 brackets, steel 0.016, a lateral 0.3 mm high", theirs, mine["linear"], spent, mine["linear_time"][0])

    x = [0.0, 3.0, 8.0, 11.0, 16.0, 19.0]
    cases = [
        ("superelastic 0.014", "round", round_patch(0.3556), [0.5, 1.5, 1.0, 0.5, 0.2]),
        ("superelastic 0.019 x 0.025 bent edgewise", "flat", rectangle_patch(0.635, 0.4826), [1.5, 1.3, 1.1, 0.9, 0.5]),
    ]
    for title, key, patch, path in cases:
        theirs, spent = superelastic(x, path, patch, 50e3, 800.0, 450.0, 0.55)
        for step, (target, forces) in enumerate(zip(path, theirs)):
            own = mine[key][6 * step : 6 * step + 6]
            last = step + 1 == len(path)
            show(f"{title}, middle bracket at {target} mm", forces, own, spent, mine[f"{key}_time"][0] if last else 0.0)
