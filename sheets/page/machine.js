// The machine: instructions over one array of float64, as package machine runs them. What could not be worked out is
// NaN; yes and no are 1 and 0; a text is its number. Every instruction has its row in INSTRUCTIONS, by its name.

let TOLERANCE = 1e-12; // set from the data

const yes = holds => holds ? 1 : 0;
const near = (a, b) => {
	const off = Math.abs(a - b);
	return a === b || off <= TOLERANCE * Math.abs(a) || off <= TOLERANCE * Math.abs(b);
};
const orNothing = x => finite(x) ? x : NaN;
const divide = (a, b) => b === 0 || !finite(b) ? NaN : a / b;
const bothKnown = (a, b, of) => finite(a) && finite(b) ? of(a, b) : NaN;

// Comparisons; those of package machine.Compare.
const COMPARE = {
	Less: (a, b) => bothKnown(a, b, () => yes(a < b && !near(a, b))),
	LessEq: (a, b) => bothKnown(a, b, () => yes(a <= b || near(a, b))),
	Equal: (a, b) => bothKnown(a, b, () => yes(near(a, b))),
	NotEqual: (a, b) => bothKnown(a, b, () => yes(!near(a, b))),
	SameText: (a, b) => bothKnown(a, b, () => yes(a === b)),
	OtherText: (a, b) => bothKnown(a, b, () => yes(a !== b)),
};

const roundHalfAway = x => {
	const whole = Math.trunc(x);
	return Math.abs(x - whole) >= 0.5 ? whole + Math.sign(x) : whole;
};

// nearHalf returns the whole number, or the half between two, that n is within the tolerance of; otherwise n.
const nearHalf = n => {
	const half = roundHalfAway(n * 2) / 2;
	return Math.abs(n - half) <= TOLERANCE * Math.abs(n) ? half : n;
};
const toStep = whole => (a, step) => step <= 0 ? NaN : whole(nearHalf(a / step)) * step;

function remainder(a, b) {
	const n = nearHalf(a / b);
	if (b === 0 || !finite(n)) return NaN;
	if (n === Math.trunc(n)) return 0;
	const left = a - b * Math.floor(n);
	return Math.abs(left) < Math.abs(b) ? left : 0;
}

// Functions of one or two numbers, by name.
const FUNCTIONS = {
	cbrt: Math.cbrt, exp: Math.exp, ln: Math.log, log10: Math.log10, sin: Math.sin, cos: Math.cos, tan: Math.tan,
	asin: Math.asin, acos: Math.acos, atan: Math.atan, atan2: Math.atan2, hypot: Math.hypot, mod: remainder,
	sign: a => yes(a > 0) - yes(a < 0), floor: toStep(Math.floor), ceil: toStep(Math.ceil), round: toStep(roundHalfAway),
};
const ONE_VALUE = new Set(['cbrt', 'exp', 'ln', 'log10', 'sin', 'cos', 'tan', 'asin', 'acos', 'atan', 'sign']);

function callFunction(name, a, b) {
	if (!finite(a) || !finite(b)) return NaN;
	return orNothing(ONE_VALUE.has(name) ? FUNCTIONS[name](a) : FUNCTIONS[name](a, b));
}
const power = (a, b) => bothKnown(a, b, () => orNothing(a ** b));

// bothHold and oneHolds: what decides is enough, on whichever side it is.
const bothHold = (a, b) => b === 0 || finite(a) && a !== 0 ? b : a;
const oneHolds = (a, b) => b === 1 || a === 0 ? b : a;

// INSTRUCTIONS return what register D gets; m is the machine, v its registers, row the row that a fold is at.
const INSTRUCTIONS = {
	...Object.fromEntries(Object.entries(COMPARE).map(([name, of]) => [name, (v, a, b) => of(v[a], v[b])])),
	Move: (v, a) => v[a],
	Add: (v, a, b) => v[a] + v[b],
	Sub: (v, a, b) => v[a] - v[b],
	Mul: (v, a, b) => v[a] * v[b],
	Div: (v, a, b) => divide(v[a], v[b]),
	Neg: (v, a) => -v[a],
	Sqrt: (v, a) => Math.sqrt(v[a]),
	Pow: (v, a, b) => power(v[a], v[b]),
	Abs: (v, a) => Math.abs(v[a]),
	Min: (v, a, b) => bothKnown(v[a], v[b], Math.min),
	Max: (v, a, b) => bothKnown(v[a], v[b], Math.max),
	And: (v, a, b) => bothHold(v[a], v[b]),
	Or: (v, a, b) => oneHolds(v[a], v[b]),
	Not: (v, a) => 1 - v[a],
	Choose: (v, a, b, c) => v[a] === 1 ? v[b] : v[a] === 0 ? v[c] : NaN,
	Guard: (v, a, b) => v[b] === 1 ? v[a] : NaN,
	Join: (v, a, b, c, m) => bothKnown(v[a], v[b], () => m.host.join(v[a], v[b])),
	Call1: (v, a, b, c, m) => callFunction(m.functions[c], v[a], 0),
	Call2: (v, a, b, c, m) => callFunction(m.functions[c], v[a], v[b]),
	FirstGiven: (v, a, b, c, m) => !finite(v[a]) && m.host.waits(a) ? v[b] : v[a],
	FirstGivenAt: (v, a, b, c, m) => !finite(v[a]) && finite(v[c]) && m.host.waits(v[c]) ? v[b] : v[a],
	RowLoad: (v, a, b, c, m, row) => v[a + row],
	RowPlace: (v, a, b, c, m, row) => a + row,
	Lookup: (v, a, b, c, m) => {
		const at = m.lookUp(v[a], b, c);
		return finite(at) ? v[at] : NaN;
	},
	LookupPlace: (v, a, b, c, m) => m.lookUp(v[a], b, c),
	SumRange: (v, a, b) => {
		let sum = 0;
		for (let i = a; i < a + b; i++) sum += v[i];
		return sum;
	},
	SumProducts: (v, a, b, c) => {
		let sum = 0;
		for (let i = 0; i < c; i++) sum += v[a + i] * v[b + i];
		return sum;
	},
	FoldRows: (v, a, b, c, m) => m.fold(m.folds[a]),
	StockNeeded: () => NaN, // the tool's own: the model never runs it, and shows what it was sent
	Solve: (v, a, b, c, m) => m.search(a),
};

// Folds of a list of values, by name. A list without values has no result, but for these.
const FOLDS = {
	sum: list => list.reduce((sum, x) => sum + x, 0),
	count: list => list.length,
	all: list => yes(list.every(x => x === 1)),
	any: list => yes(list.includes(1)),
	none: list => yes(!list.includes(1)),
	one: list => yes(list.filter(x => x === 1).length === 1),
	mean: list => list.length ? FOLDS.sum(list) / list.length : NaN,
	median: list => {
		const sorted = Float64Array.from(list).sort(), n = sorted.length;
		return n ? (sorted[(n - 1) >> 1] + sorted[n >> 1]) / 2 : NaN;
	},
	min: list => list.length ? list.reduce((a, b) => b < a ? b : a) : NaN,
	max: list => list.length ? list.reduce((a, b) => b > a ? b : a) : NaN,
	first: list => list.length ? list[0] : NaN,
	last: list => list.length ? list[list.length - 1] : NaN,
};

// rulesOf finds what the page does for each name in a table of the engine.
const rulesOf = (rules, names) => names.map(name => {
	if (name && !rules[name]) throw new Error('this page has no rule for ' + name);
	return rules[name];
});

class Machine {
	constructor(data, host) {
		this.ops = rulesOf(INSTRUCTIONS, data.ops.map(op => op.name));
		this.solve = data.ops.findIndex(op => op.name === 'Solve');
		rulesOf(FUNCTIONS, data.functions);
		rulesOf({...FOLDS, ...POINTS, interpolate: true}, data.foldKinds);
		// looked is for the registers that were looked up since somebody asked last
		const {functions, foldKinds: kinds, folds, searches} = data;
		Object.assign(this, {host, functions, kinds, folds, searches, looked: new Set(), keys: {}});
		for (const table in data.keys) {
			const of = data.keys[table];
			this.keys[table] = new Map();
			for (let i = 0; i < of.length; i += 2) this.keys[table].set(of[i], of[i + 1]);
		}
		this.regs = new Float64Array(data.registers).fill(NaN);
		for (const [r, x] of data.held) this.regs[r] = x;
	}

	run(code, row) {
		const v = this.regs;
		for (let i = 0; i < code.length; i += 5) {
			const op = code[i];
			const y = this.ops[op](v, code[i + 2], code[i + 3], code[i + 4], this, row);
			if (op !== this.solve) v[code[i + 1]] = y;
		}
	}

	// lookUp returns the register of the row that a text names, from the first one of the column; NaN where there is none.
	lookUp(name, base, table) {
		const row = finite(name) ? this.keys[table].get(name) : undefined;
		if (row === undefined) return NaN;
		this.looked.add(base + row);
		return base + row;
	}

	// eachRow visits the rows that count, until visit says no; it returns false where it is not known which do.
	eachRow(f, visit) {
		for (let row = 0; row < f.rows; row++) {
			if (f.keep.length) {
				this.run(f.keep, row);
				const keep = this.regs[f.regs[0]];
				if (!finite(keep)) return false;
				if (keep === 0) continue;
			}
			this.run(f.each, row);
			if (!visit(this.regs[f.regs[1]], this.regs[f.regs[2]], row)) return false;
		}
		return true;
	}

	fold(f) {
		const kind = this.kinds[f.kind];
		if (kind === 'interpolate') {
			const between = new Interpolator(this.regs[f.regs[3]]);
			return this.eachRow(f, (x, y) => between.row(x, y)) ? between.result : NaN;
		}
		if (POINTS[kind]) {
			const points = [];
			const sound = this.eachRow(f, (x, y, row) => finite(x) && finite(y) && points.push({x, y, row}));
			return sound ? pointsValue(kind, points).value : NaN;
		}
		const list = [];
		return this.eachRow(f, x => finite(x) && list.push(x)) ? FOLDS[kind](list) : NaN;
	}

	// search leaves the value at which the goal of a search is zero in the register of its unknown.
	search(n) {
		const f = this.searches[n], v = this.regs;
		const r = {searched: false, lo: v[f.lo], hi: v[f.hi], zeros: [], everywhere: false, best: NaN};
		const trial = x => {
			v[f.unknown] = x;
			this.host.tried();
			this.run(f.body, 0);
			return v[f.goal];
		};
		let x = NaN;
		if (r.lo < r.hi && finite(r.lo) && finite(r.hi)) {
			r.searched = true;
			const lo = {x: r.lo, y: trial(r.lo)};
			let size = Math.abs(v[f.left]);
			const hi = {x: r.hi, y: trial(r.hi)};
			size = Math.max(size, Math.abs(v[f.left]));
			const found = f.first && zeroOfFirstDegree(trial, lo, hi, size, !!f.fractional) || zerosWithin(trial, r.lo, r.hi);
			Object.assign(r, found);
			if (r.zeros.length === 1) x = r.zeros[0];
			if (Number.isNaN(r.best)) {
				trial((r.lo + r.hi) / 2);
				Object.assign(r, this.host.nowhere(n));
			}
		}
		this.host.found(n, r);
		trial(x);
	}
}

// Interpolator reads a value off a table on straight lines between its rows, which are given in order.
class Interpolator {
	constructor(at) { Object.assign(this, {at, result: NaN, rows: 0}); }

	// row takes the next row; false when x does not rise or a value is not a number: then there is no result.
	row(x, y) {
		const at = this.at;
		if (!finite(x) || !finite(y) || !finite(at) || this.rows > 0 && x <= this.x) return false;
		if (at === x) this.result = y;
		else if (this.rows > 0 && this.x < at && at < x) this.result = this.y + (y - this.y) * ((at - this.x) / (x - this.x));
		else if ((this.rows === 0 || x < at) && near(at, x)) this.result = y;
		this.x = x;
		this.y = y;
		this.rows++;
		return true;
	}
}

// Points in order, and what they make together: the area within an outline and the like, as machine/outline.go has it.
const POINTS = {
	outline_area: {degree: 2, of: o => Math.abs(o.area)},
	outline_length: {degree: 1, of: o => o.length},
	outline_x: {degree: 1, of: o => o.x},
	outline_y: {degree: 1, of: o => o.y},
	outline_moment_x: {degree: 4, of: o => Math.abs(o.yy)},
	outline_moment_y: {degree: 4, of: o => Math.abs(o.xx)},
	area_under: {degree: 0, of: null},
};

// pointsValue returns {value}, or {value: NaN, fault, rows}.
function pointsValue(kind, points) {
	const fault = (fault, ...rows) => ({value: NaN, fault, rows});
	const known = value => finite(value) ? {value} : fault('large');
	if (kind === 'area_under') {
		if (points.length < 2) return fault('few');
		let area = 0;
		for (let i = 1; i < points.length; i++) {
			const a = points[i - 1], b = points[i];
			if (b.x < a.x) return fault('falls', a.row, b.row);
			area += (b.x - a.x) * (a.y + b.y) / 2;
		}
		return known(area);
	}
	const most = points.reduce((m, p) => Math.max(m, Math.abs(p.x), Math.abs(p.y)), 0);
	const exp = most > 0 ? Math.min(Math.max(Math.floor(Math.log2(most)) + 1, -1000), 1000) : 0;
	const touch = TOLERANCE * most * 2 ** -exp;
	const same = (a, b) => Math.max(Math.abs(a.x - b.x), Math.abs(a.y - b.y)) <= touch;
	const p = [];
	for (const {x, y, row} of points) {
		const q = {x: x * 2 ** -exp, y: y * 2 ** -exp, row};
		if (!p.length || !same(p[p.length - 1], q)) p.push(q);
	}
	while (p.length > 1 && same(p[p.length - 1], p[0])) p.pop();
	if (p.length < 3) return fault('few');
	const met = meeting(p, touch);
	if (met) return fault(...met);
	const {degree, of} = POINTS[kind], o = {length: 0};
	p.forEach((a, i) => { o.length += Math.hypot(p[(i + 1) % p.length].x - a.x, p[(i + 1) % p.length].y - a.y); });
	const first = triangles(p, p[0]);
	o.area = first.area;
	o.x = p[0].x + first.x / o.area;
	o.y = p[0].y + first.y / o.area;
	const {xx, yy} = triangles(p, o);
	Object.assign(o, {xx, yy});
	let v = of(o);
	for (let i = 0; i < degree; i++) v *= 2 ** exp;
	return known(v);
}

function triangles(p, from) {
	const sum = {area: 0, x: 0, y: 0, xx: 0, yy: 0};
	p.forEach((a, i) => {
		const b = p[(i + 1) % p.length];
		const ax = a.x - from.x, ay = a.y - from.y, bx = b.x - from.x, by = b.y - from.y, twice = ax * by - bx * ay;
		sum.area += twice / 2;
		sum.x += twice * (ax + bx) / 6;
		sum.y += twice * (ay + by) / 6;
		sum.xx += twice * (ax * ax + ax * bx + bx * bx) / 12;
		sum.yy += twice * (ay * ay + ay * by + by * by) / 12;
	});
	return sum;
}

// toSide returns how far a point is from a side.
function toSide(p, a, b) {
	const dx = b.x - a.x, dy = b.y - a.y;
	const along = Math.min(Math.max(((p.x - a.x) * dx + (p.y - a.y) * dy) / (dx * dx + dy * dy), 0), 1);
	return Math.hypot(p.x - a.x - along * dx, p.y - a.y - along * dy);
}
const isLeft = (a, b, c) => (b.x - a.x) * (c.y - a.y) > (b.y - a.y) * (c.x - a.x);

// meeting tells where an outline meets itself: a fault and its rows; null where it does not.
function meeting(p, touch) {
	const n = p.length, at = i => p[i % n];
	for (let i = 0; i < n; i++) {
		const a = at(i), b = at(i + 1), c = at(i + 2);
		if (Math.min(toSide(c, a, b), toSide(a, b, c)) <= touch) return ['back', b.row];
	}
	const apart = (a, b, c, d) => {
		const dx = b.x - a.x, dy = b.y - a.y, least = touch * (Math.abs(dx) + Math.abs(dy));
		const toC = dx * (c.y - a.y) - dy * (c.x - a.x), toD = dx * (d.y - a.y) - dy * (d.x - a.x);
		return Math.min(toC, toD) > least || Math.max(toC, toD) < -least;
	};
	for (let i = 0; i < n; i++) {
		const a = at(i), b = at(i + 1);
		for (let k = i + 2; k < n && (i > 0 || k < n - 1); k++) {
			const c = at(k), d = at(k + 1);
			if (apart(a, b, c, d) || apart(c, d, a, b)) continue;
			const crosses = isLeft(a, b, c) !== isLeft(a, b, d) && isLeft(c, d, a) !== isLeft(c, d, b);
			const close = Math.min(toSide(a, c, d), toSide(b, c, d), toSide(c, a, b), toSide(d, a, b)) <= touch;
			if (crosses || close) return ['crosses', a.row, b.row, c.row, d.row];
		}
	}
	return null;
}

// zeroOfFirstDegree is solve.FirstDegree: the zero of a straight line, or of one over another, from a few trials; null
// where these do not settle it.
function zeroOfFirstDegree(f, lo, hi, size, fractional) {
	const inner = 0.3819660112501051, a = lo.y, b = hi.y;
	const at = t => lo.x * (1 - t) + hi.x * t;
	const m = f(at(inner));
	size = Math.max(size, Math.abs(a), Math.abs(b));
	if (!finite(a) || !finite(m) || !finite(b) || !finite(size) || Math.abs(b - a) <= 1e-9 * size) return null;
	let steeper = 1;
	if (fractional) {
		steeper = (1 - inner) * (a - m) / (inner * (m - b));
		if (!finite(steeper) || steeper <= 0) return null;
	} else if (Math.abs((1 - inner) * a + inner * b - m) > 1e-9 * Math.max(Math.abs(a), Math.abs(b))) return null;
	const rise = b * steeper - a;
	const below = t => 1 + (steeper - 1) * t;
	const close = t => 1e-13 * Math.abs((a + rise * t) / below(t));
	const best = Math.abs(b) < Math.abs(a) ? hi.x : lo.x;
	let t = -a / rise;
	if (Math.abs(a) <= close(1 / INTERVALS)) t = 0;
	else if (Math.abs(b) <= close(1 - 1 / INTERVALS)) t = 1;
	else if ((a < 0) === (b < 0)) return {zeros: [], best};
	let x = at(t);
	const slope = rise / below(t) / (hi.x - lo.x);
	for (let steps = 0; ; steps++) {
		const step = f(x) / slope;
		if (!finite(step)) return null;
		if (t === 0 || t === 1 || Math.abs(step) <= 1e-12 * Math.abs(x) || steps === 2) {
			return Math.abs(step) <= 1e-11 * (hi.x - lo.x) ? {zeros: [x], best} : null;
		}
		x = Math.min(Math.max(x - step, lo.x), hi.x);
	}
}

const INTERVALS = 64;

// zerosWithin is solve.Zeros: the zeros of a function in a range, searched for in parts.
function zerosWithin(f, lo, hi) {
	const x = [], y = [], zero = [];
	for (let i = 0; i <= INTERVALS; i++) {
		x[i] = lo * (1 - i / INTERVALS) + hi * (i / INTERVALS);
		y[i] = f(x[i]);
	}
	let best = NaN, atBest = NaN, farthest = NaN;
	y.forEach((value, i) => {
		const size = Math.abs(value);
		if (!finite(value)) return;
		if (!(size >= Math.abs(atBest))) [best, atBest] = [x[i], value];
		if (!(size <= farthest)) farthest = size;
	});
	if (!(farthest > 0)) return {zeros: [], everywhere: farthest === 0, best};
	const beside = i => [y[i - 1], y[i + 1]].reduce((size, v) => finite(v) ? Math.max(size, Math.abs(v)) : size, 0);
	y.forEach((value, i) => {
		zero[i] = value === 0;
		if (value === 0 || !finite(value) || Math.abs(value) > 1e-13 * beside(i)) return;
		const aside = (i === INTERVALS ? -1e-6 : 1e-6) * (hi - lo), change = Math.abs(f(x[i] + aside) - value);
		zero[i] = finite(change) && Math.abs(value) <= 1e-3 * change;
	});
	const zeros = x.filter((_, i) => zero[i]);
	// edge halves its way from where the function is known towards where it is not.
	const edge = (at, value, beyond) => {
		for (let k = 0; k < 52; k++) {
			const middle = at + (beyond - at) / 2, v = f(middle);
			if (finite(v)) [at, value] = [middle, v];
			else beyond = middle;
		}
		return [at, value];
	};
	for (let i = 0; i < INTERVALS; i++) {
		let [xa, a, xb, b] = [x[i], y[i], x[i + 1], y[i + 1]];
		if (zero[i] || zero[i + 1]) continue;
		if (finite(a) && !finite(b)) [xb, b] = edge(xa, a, xb);
		else if (finite(b) && !finite(a)) [xa, a] = edge(xb, b, xa);
		if (!finite(a) || !finite(b) || (a < 0) === (b < 0)) continue;
		const [found, value] = closeIn(f, xa, a, xb, b, 1e-3 * (hi - lo));
		if (Math.abs(value) <= 1e-9 * Math.max(Math.abs(a), Math.abs(b))) zeros.push(found);
	}
	for (let i = 1; i < INTERVALS; i++) {
		const [a, m, b] = [y[i - 1], y[i], y[i + 1]];
		if (!finite(a) || !finite(m) || !finite(b) || zero[i] || zero[i - 1] || zero[i + 1] || (a < 0) !== (m < 0) ||
			(m < 0) !== (b < 0) || Math.abs(m) > Math.min(Math.abs(a), Math.abs(b))) continue;
		const touched = goldenSection(f, x[i - 1], x[i + 1]);
		if (Math.abs(f(touched)) <= 1e-13 * beside(i)) zeros.push(touched);
	}
	zeros.sort((a, b) => a - b);
	const kept = zeros.filter((z, i) => i === 0 || !(Math.abs(z - zeros[i - 1]) <= 1e-9 * (hi - lo)));
	return {zeros: kept, everywhere: false, best};
}

// closeIn closes in on the change of sign between a and b: regula falsi in the Illinois form.
function closeIn(f, a, fa, b, fb, least) {
	let x, y;
	for (let k = 0; k < 200; k++) {
		const width = b - a;
		x = (a * fb - b * fa) / (fb - fa);
		if (!(x > a && x < b)) x = a + width / 2;
		y = f(x);
		if (!finite(y) || y === 0) return [x, y];
		if ((y < 0) === (fa < 0)) [a, fa, fb] = [x, y, fb / 2];
		else [b, fb, fa] = [x, y, fa / 2];
		if (b - a > width / 2) {
			x = a + (b - a) / 2;
			y = f(x);
			if (!finite(y) || y === 0) return [x, y];
			if ((y < 0) === (fa < 0)) [a, fa] = [x, y];
			else [b, fb] = [x, y];
		}
		if (b - a <= 1e-15 * Math.max(Math.abs(a), Math.abs(b), least)) break;
	}
	return [x, y];
}

// goldenSection finds where a function comes nearest to zero.
function goldenSection(f, lo, hi) {
	const g = 0.6180339887498949, size = x => Math.abs(f(x));
	let p = hi - g * (hi - lo), q = lo + g * (hi - lo), fp = size(p), fq = size(q);
	for (let k = 0; k < 60; k++) {
		if (fp < fq) {
			[hi, q, fq] = [q, p, fp];
			p = hi - g * (hi - lo);
			fp = size(p);
		} else {
			[lo, p, fp] = [p, q, fq];
			q = lo + g * (hi - lo);
			fq = size(q);
		}
	}
	return (lo + hi) / 2;
}
