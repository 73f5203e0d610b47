"""Works figures of the library's examples out again, with SymPy, SciPy and fluids, none of which knows the library.

Reads a list of expressions as JSON, and writes a list of their values. Lengths are in the unit of the example.
"""
import json
import sys

import numpy as np
from fluids.atmosphere import ATMOSPHERE_1976
from scipy import integrate, optimize, sparse, stats
from scipy.linalg import eigh, eigvalsh
from scipy.sparse.linalg import spsolve
from sympy import Circle, Ellipse, Line, Matrix, Point, Point3D, Polygon, Rational, S, atan, deg, pi, rad, sin, sqrt, symbols, tan
from sympy import integrate as integral
from sympy.physics.continuum_mechanics.beam import Beam

x, y = symbols("x y", real=True)
inch, gravity = 0.0254, 9.80665


def box(wide, deep, low=0):
    """A rectangle about the upright axis, from a height upward."""
    return Polygon((-S(wide) / 2, low), (S(wide) / 2, low), (S(wide) / 2, low + deep), (-S(wide) / 2, low + deep))


def axis(*parts):
    """The height of the centroid of several polygons together."""
    return sum(p.area * p.centroid.y for p in parts) / sum(p.area for p in parts)


def second_moment(*parts):
    """The second moment of several polygons about the level line through their common centroid."""
    return sum(p.second_moment_of_area(Point(0, axis(*parts)))[0] for p in parts)


def round_bar(diameter, bore=0):
    """The second moment of a round bar or a tube about a diameter."""
    outside = Circle(Point(0, 0), S(diameter) / 2).second_moment_of_area()[0]
    return outside - (Circle(Point(0, 0), S(bore) / 2).second_moment_of_area()[0] if bore else 0)


def polar(diameter, bore=0):
    """The polar second moment of a round bar or a tube."""
    outside = Circle(Point(0, 0), S(diameter) / 2).polar_second_moment_of_area()
    return outside - (Circle(Point(0, 0), S(bore) / 2).polar_second_moment_of_area() if bore else 0)


def cantilever(long, stiffness, second, *loads):
    """A beam held at its left end; loads are (value, start, order, end), as Beam.apply_load takes them."""
    beam = Beam(long, stiffness, second)
    force, moment = symbols("force moment")
    beam.apply_load(force, 0, -1)
    beam.apply_load(moment, 0, -2)
    beam.bc_deflection, beam.bc_slope = [(0, 0)], [(0, 0)]
    for value, start, order, *end in loads:
        beam.apply_load(value, start, order, *end)
    beam.solve_for_reaction_loads(force, moment)
    return beam


def sag(beam, at):
    return abs(beam.deflection().subs(beam.variable, at))


def clamped(beam):
    """The moment at the left end, that holds the beam."""
    return abs(beam.bending_moment().subs(beam.variable, S(1) / 10**9))


def propped(long, load):
    """What a prop bears at the tip of a cantilever with an even load."""
    beam = Beam(long, 1, 1)
    force, moment, prop = symbols("force moment prop")
    beam.apply_load(force, 0, -1)
    beam.apply_load(moment, 0, -2)
    beam.apply_load(prop, long, -1)
    beam.apply_load(-S(load) / long, 0, 0, long)
    beam.bc_deflection, beam.bc_slope = [(0, 0), (long, 0)], [(0, 0)]
    beam.solve_for_reaction_loads(force, moment, prop)
    return beam.reaction_loads[prop]


def built_in(long, stiffness, second, load):
    """The sag in the middle of an evenly loaded beam with both ends built in."""
    beam = Beam(long, stiffness, second)
    names = symbols("left left_moment right right_moment")
    for name, at, order in zip(names, (0, 0, long, long), (-1, -2, -1, -2)):
        beam.apply_load(name, at, order)
    beam.apply_load(-load, 0, 0, long)
    beam.bc_deflection, beam.bc_slope = [(0, 0), (long, 0)], [(0, 0), (long, 0)]
    beam.solve_for_reaction_loads(*names)
    return sag(beam, S(long) / 2)


def bears(load, at, support):
    """What the left end and a support bear of a load on a bar."""
    beam = Beam(max(at, support), 1, 1)
    hinge, other = symbols("hinge other")
    beam.apply_load(hinge, 0, -1)
    beam.apply_load(other, support, -1)
    beam.apply_load(-load, at, -1)
    beam.bc_deflection = [(0, 0), (support, 0)]
    beam.solve_for_reaction_loads(hinge, other)
    return beam.reaction_loads[hinge], beam.reaction_loads[other]


def amid(load, between):
    """The greatest moment of a beam on two supports with a load in its middle."""
    beam = Beam(between, 1, 1)
    left, right = symbols("left right")
    beam.apply_load(left, 0, -1)
    beam.apply_load(right, between, -1)
    beam.apply_load(-load, S(between) / 2, -1)
    beam.bc_deflection = [(0, 0), (between, 0)]
    beam.solve_for_reaction_loads(left, right)
    return abs(beam.bending_moment().subs(beam.variable, S(between) / 2))


def in_socket(moment, reach):
    """The force on each end and the greatest push per length of a rod that is pressed evenly more towards both ends."""
    rise = moment / integral(x**2, (x, -S(reach) / 2, S(reach) / 2))
    return rise * integral(x, (x, 0, S(reach) / 2)), rise * S(reach) / 2


def on_face(stress, slope):
    """Pull and shear on a sloping face, from the stress tensor of a plain pull."""
    tensor = Matrix([[stress, 0], [0, 0]])
    normal, along = Matrix([1, slope]) / sqrt(1 + slope**2), Matrix([slope, -1]) / sqrt(1 + slope**2)
    return (normal.T * tensor * normal)[0], (along.T * tensor * normal)[0]


def buckling(stiffness, second, long, ends, pieces=60):
    """The least load under which a column of finite elements bows out."""
    h = long / pieces
    bend = stiffness * second / h**3 * np.array([[12, 6 * h, -12, 6 * h], [6 * h, 4 * h * h, -6 * h, 2 * h * h],
                                                 [-12, -6 * h, 12, -6 * h], [6 * h, 2 * h * h, -6 * h, 4 * h * h]])
    push = 1 / (30 * h) * np.array([[36, 3 * h, -36, 3 * h], [3 * h, 4 * h * h, -3 * h, -h * h],
                                    [-36, -3 * h, 36, -3 * h], [3 * h, -h * h, -3 * h, 4 * h * h]])
    n = 2 * (pieces + 1)
    stiff, geometric = np.zeros((n, n)), np.zeros((n, n))
    for i in range(pieces):
        at = slice(2 * i, 2 * i + 4)
        stiff[at, at] += bend
        geometric[at, at] += push
    held = {"pinned": [0, n - 2], "fixed": [0, 1, n - 2, n - 1], "fixed and pinned": [0, 1, n - 2],
            "fixed and free": [0, 1]}[ends]
    free = [i for i in range(n) if i not in held]
    return 1 / eigvalsh(geometric[np.ix_(free, free)], stiff[np.ix_(free, free)])[-1]


def twisting(long, short, steps=60):
    """The torsion constant of a rectangle: twice the volume under Prandtl's stress function, on a grid."""
    h = short / steps
    rows, columns = round(long / h) - 1, steps - 1
    line = lambda n: sparse.diags([1, -2, 1], [-1, 0, 1], shape=(n, n))
    grid = sparse.kron(sparse.eye(rows), line(columns)) + sparse.kron(line(rows), sparse.eye(columns))
    return 2 * h * h * spsolve(sparse.csc_matrix(grid / h**2), -2 * np.ones(rows * columns)).sum()


def plate_in_shear(ratio, terms=12):
    """The coefficient at which a plate with pinned edges buckles in shear, by the energy of double sine series."""
    waves = [(m, n) for m in range(1, terms + 1) for n in range(1, terms + 1)]
    bend = np.diag([np.pi**4 / 4 * ratio * ((m / ratio) ** 2 + n * n) ** 2 for m, n in waves])
    shear = np.zeros((len(waves), len(waves)))
    for i, (m, n) in enumerate(waves):
        for j, (p, q) in enumerate(waves):
            if (m + p) % 2 and (n + q) % 2:
                shear[i, j] = 8 * m * n * p * q / ((p * p - m * m) * (n * n - q * q))
    return 1 / eigh(shear, bend, eigvals_only=True)[-1] / np.pi**2


def along_half_span(load, part, span, beyond=0):
    """The load on a half wing beyond a place, and its moment about it; load is per length, to any scale."""
    half = S(span) / 2
    whole = integral(load(half), (x, 0, half))
    shear = integral(load(half), (x, beyond, half)) / whole * part
    moment = integral(load(half) * (x - beyond), (x, beyond, half)) / whole * part
    return shear, moment


def elliptic(half):
    return sqrt(1 - (x / half) ** 2)


def tapered(taper):
    return lambda half: 1 - (1 - S(taper)) * x / half


def mean_chord(*panels):
    """The mean aerodynamic chord, its place out and back, by their integrals; panels are root, tip, span, out, back, sweep."""
    area = chord = out = back = 0
    for root, tip, span, start, behind, sweep in panels:
        c = S(root) + (S(tip) - root) * x / span
        area += integral(c, (x, 0, span))
        chord += integral(c**2, (x, 0, span))
        out += integral(c * (start + x), (x, 0, span))
        back += integral(c * (behind + S(sweep) * x / span), (x, 0, span))
    return chord / area, out / area, back / area


def camber_slope(camber, at):
    return lambda along: 2 * camber * (at - along) / (at if along < at else 1 - at) ** 2


def thin_aerofoil(camber, at):
    """Zero-lift angle in degrees and moment about the quarter point of a mean line, by the integrals of thin-aerofoil theory."""
    slope = camber_slope(camber, at)
    turn = lambda weight: integrate.quad(lambda t: slope((1 - np.cos(t)) / 2) * weight(t), 0, np.pi,
                                         points=[np.arccos(1 - 2 * at)])[0]
    zero_lift = -turn(lambda t: np.cos(t) - 1) / np.pi
    return np.degrees(zero_lift), np.pi / 4 * (2 / np.pi) * (turn(lambda t: np.cos(2 * t)) - turn(np.cos))


def hinge_slope(share, travel, terms=2000):
    """Hinge moment per radian of a thin aerofoil's surface, by integrating its load; of its own travel, or of the incidence."""
    hinge = np.arccos(2 * share - 1)  # on the circle over the chord, where the place along it is (1 - cos t) / 2
    t = np.linspace(hinge, np.pi, 40001)[:-1]
    if travel:
        load = 4 * (np.pi - hinge) / np.pi * (1 + np.cos(t)) / np.sin(t)
        for n in range(1, terms):
            load += 8 / np.pi * np.sin(n * hinge) / n * np.sin(n * t)
    else:
        load = 4 * (1 + np.cos(t)) / np.maximum(np.sin(t), 1e-300)
    along = (1 - np.cos(t)) / 2
    turned = load * (along - (1 - share)) * np.sin(t) / 2
    return -integrate.simpson(turned, x=t) / share**2


def polar_curve(weight, area, no_lift, ratio, efficiency, density):
    """Drag in newtons of an aeroplane in level flight, by its speed."""
    def drag(speed):
        pressure = density / 2 * speed**2 * area
        lift = weight * gravity / pressure
        return pressure * (no_lift + lift**2 / (np.pi * efficiency * ratio))
    return drag


def least(function, low, high):
    found = optimize.minimize_scalar(function, bounds=(low, high), method="bounded", options={"xatol": 1e-9})
    return found.x, found.fun


def falling(speed, height, terminal):
    """The speed after a steep dive, by following the motion."""
    run = integrate.solve_ivp(lambda h, v: gravity * (1 - (v / terminal) ** 2) / v, (0, height), [speed], rtol=1e-11, atol=1e-12)
    return run.y[0, -1]


def rises(line):
    """The angle of a line to the ground, in degrees."""
    return deg(line.angle_between(Line(Point(0, 0), Point(1, 0))))


def over_bump(bump, wheel):
    """The pull over the weight that lifts a wheel at the edge where its circle meets a bump."""
    edge = Circle(Point(0, S(wheel) / 2), S(wheel) / 2).intersection(Line(Point(0, bump), Point(1, bump)))[0]
    return abs(edge.x) / (S(wheel) / 2 - bump)


def from_rest(height):
    """The speed of what falls from a height, by following the motion."""
    landed = lambda t, s: s[0] - height
    landed.terminal = True
    run = integrate.solve_ivp(lambda t, s: [s[1], gravity], (0, 10), [0, 0], events=landed, rtol=1e-11, atol=1e-13)
    return run.y[1, -1]


def hardest_push(mass, rate, sink, lift_share):
    """The greatest push of a leg on a mass that comes down on it, by following the motion."""
    stop = lambda t, s: s[1]
    stop.terminal, stop.direction = True, -1
    run = integrate.solve_ivp(lambda t, s: [s[1], gravity * (1 - lift_share) - rate * s[0] / mass], (0, 10), [0, sink],
                              events=stop, rtol=1e-11, atol=1e-13, first_step=1e-6)
    return rate * run.y[0, -1]


def blasius():
    """Skin friction of a smooth plate times the root of the Reynolds number, from the boundary layer's own equation."""
    flow = lambda t, f: [f[1], f[2], -f[0] * f[2] / 2]
    miss = lambda start: integrate.solve_ivp(flow, (0, 12), [0, 0, start], rtol=1e-10, atol=1e-12).y[1, -1] - 1
    return 4 * optimize.brentq(miss, 0.1, 1)


def wind_triangle(airspeed, wind, off):
    """Drift in degrees and speed over the ground, from the two vectors."""
    off = np.radians(off)
    solve = lambda s: [airspeed * np.cos(s[0]) - wind * np.cos(off) - s[1], airspeed * np.sin(s[0]) - wind * np.sin(off)]
    drift, speed = optimize.fsolve(solve, [0.1, airspeed], xtol=1e-13)
    return np.degrees(drift), speed


def naca_half(thickness):
    return lambda a: 5 * thickness * (0.2969 * a**0.5 - 0.1260 * a - 0.3516 * a**2 + 0.2843 * a**3 - 0.1015 * a**4)


print(json.dumps([float(eval(text)) for text in json.load(sys.stdin)]))
