// The walk over the tree of formulas, as package explain does it: why a value is not there, which guesses one rests on,
// which formula is used outside its range. The machine keeps no reasons.

const TOO_LARGE = 'this grows too large to work with';
const BY_ZERO = (a, b) => b === 0 && 'this is 0, and nothing can be divided by 0';
const POINTS_FAULTS = {few: 'there are too few points', falls: 'x falls from one row to the next', large: TOO_LARGE,
	back: 'the outline goes back over its own side', crosses: 'the outline crosses or touches itself'};

// one and two make the rule of an operator that takes as many values; why says why there is no result.
const one = (of, why) => (ev, n, f, i) => ev.one(n[1], f, i, of, why);
const two = (of, why) => (ev, n, f, i) => ev.two(n, f, i, of, why);

// EVALUATE works a node out, by the name of its operator: n is what the node has, f the frame, ev the Evaluator.
const EVALUATE = {
	broken: () => NaN,
	const: (ev, n) => n[1],
	boolean: (ev, n) => n[1],
	text: (ev, n) => n[1],
	rows: () => 1,
	pick: () => 1,
	slot: (ev, n, f, i) => {
		const lost = ev.model.slots[n[1]].lost;
		return lost ? ev.fail(i, lost) : ev.slot(n[1]);
	},
	own: (ev, n, f) => ev.slot(ev.base(n[1]) + f.row),
	entry: (ev, n, f) => ev.slot(ev.base(n[1]) + f.at),
	column: (ev, n, f) => ev.slot(ev.base(n[1]) + f.at),
	param: (ev, n, f) => ev.param(n[1], f),
	lookup: (ev, n, f, i) => {
		const key = ev.eval(n[1], f);
		if (!finite(key)) return NaN;
		const at = ev.asked(i, f, key), t = ev.data.tables[ev.data.columns[n[2]].table];
		if (at >= 0) return ev.slot(at);
		return ev.fail(i, t.lost || `the table ${t.name.split('.').pop()} has no row ${quote(ev.model.texts[key] || '')}`);
	},
	keep: (ev, n, f) => ev.eval(n[1], f),
	each: (ev, n, f) => ev.eval(n[2], f),
	fold: (ev, n, f, i) => {
		const list = [];
		if (!ev.eachRow(n[1], f, at => finite(list[list.push(ev.eval(n[1], at)) - 1]))) return NaN;
		const v = FOLDS[ev.data.foldKinds[n[2]]](list);
		if (finite(v)) return v;
		return ev.fail(i, list.length ? TOO_LARGE : 'there are no rows left to work with');
	},
	interp: (ev, n, f, i) => {
		const between = new Interpolator(ev.eval(n[1], f));
		let rises = true;
		const sound = ev.eachRow(n[2], f, at => {
			const x = ev.eval(n[2], at), y = ev.eval(n[3], at), known = finite(x) && finite(y);
			if (known && finite(between.at)) rises = between.row(x, y) && rises;
			return known;
		});
		if (!sound || !finite(between.at)) return NaN;
		if (!rises) return ev.fail(i, 'a table that is read off between its rows must rise from row to row');
		return finite(between.result) ? between.result : ev.fail(i, 'this is outside the table that it is read off');
	},
	points: (ev, n, f, i) => {
		const points = [];
		const sound = ev.eachRow(n[1], f, at => {
			const p = {x: ev.eval(n[1], at), y: ev.eval(n[2], at), row: at.at};
			points.push(p);
			return finite(p.x) && finite(p.y);
		});
		if (!sound) return NaN;
		const kind = ev.data.foldKinds[n[3]], {value, fault} = pointsValue(kind, points);
		return fault ? ev.fail(i, POINTS_FAULTS[fault]) : value;
	},
	spread: (ev, n) => ev.slot(n[2]),
	stock: (ev, n, f) => { // only what it lacks is found here; what it comes to is in cuts
		for (const k of [4, 5, 6]) ev.eval(n[k], f);
		ev.eachRow(n[1], f, at => [7, 1, 2, 3].map(k => ev.eval(n[k], at)).every(finite));
		return NaN;
	},
	add: two((a, b) => a + b),
	sub: two((a, b) => a - b),
	mul: two((a, b) => a * b),
	div: two((a, b) => a / b, BY_ZERO),
	pow: two(power, () => 'this power has no value'),
	min: two(Math.min),
	max: two(Math.max),
	less: two(COMPARE.Less),
	lessEq: two(COMPARE.LessEq),
	equal: (ev, n, f, i) => ev.two(n, f, i, n[3] ? COMPARE.Equal : COMPARE.SameText),
	notEqual: (ev, n, f, i) => ev.two(n, f, i, n[3] ? COMPARE.NotEqual : COMPARE.OtherText),
	join: (ev, n, f, i) => ev.two(n, f, i, (a, b) => ev.model.join(a, b), () => 'this text grows too long'),
	neg: one(a => -a),
	not: one(a => 1 - a),
	abs: one(Math.abs),
	sqrt: one(Math.sqrt, () => 'this is negative and has no square root'),
	and: (ev, n, f) => ev.decide(n, f, 0),
	or: (ev, n, f) => ev.decide(n, f, 1),
	choose: (ev, n, f) => {
		const a = ev.eval(n[1], f);
		return a === 1 ? ev.eval(n[2], f) : a === 0 ? ev.eval(n[3], f) : NaN;
	},
	given: (ev, n, f) => ev.given(n[1], f, () => ev.eval(n[2], f)),
	func: (ev, n, f, i) => {
		const name = ev.data.functions[n[1]], steps = ['floor', 'ceil', 'round'].includes(name);
		const none = () => `${name} has no value for this`;
		if (n.length === 3) return ev.one(n[2], f, i, a => callFunction(name, a, 0), none);
		return ev.two([0, n[2], n[3]], f, i, (a, b) => callFunction(name, a, b), (a, b) => {
			if (name === 'mod') return BY_ZERO(a, b);
			return steps ? b <= 0 && `${name} needs a step above 0` : none();
		});
	},
	call: (ev, n, f, i) => ev.call(n, f, i),
};

const frameOf = row => ({row, at: -1, depth: 0, call: -1});

// An Evaluator works one formula out with notes: slots without a value that it met, the first operation without a
// result, slots that it read, and, where that is asked for, formulas used outside their range.
class Evaluator {
	constructor(walker, outside) {
		Object.assign(this, {walker, model: walker.model, data: walker.data, steps: 0, missing: [], fault: null,
			reads: new Set(), outside, broke: false});
	}

	base(column) { return this.data.columns[column].base; }

	eval(i, f) {
		const {walker} = this, n = this.data.nodes[i];
		if (++this.steps > MOST_STEPS || walker.depth > MOST_DEEP) {
			this.broke = true;
			return NaN;
		}
		walker.depth++;
		const v = walker.rules[n[0]](this, n, f, i);
		walker.depth--;
		return v;
	}

	fail(node, msg) {
		if (!this.fault) this.fault = {node, msg, level: 0};
		return NaN;
	}

	// slot reads a slot. A part of the formula that is worked out by itself lacks what it lacks.
	slot(s) {
		const slot = this.model.slots[s], v = this.model.regs[s];
		this.reads.add(s);
		if (this.outside && slot.part) this.walker.outsideOf(s).forEach(found => this.note(found));
		if (finite(v)) return v;
		if (slot.part && slot.column < 0 && slot.root >= 0 && !slot.broken) {
			const of = this.walker.cause(s);
			if (of.fault && !this.fault) this.fault = Object.assign({}, of.fault);
			of.missing.forEach(m => this.lacks(m));
		} else this.lacks(s);
		return v;
	}

	lacks(s) {
		if (this.missing.length < MOST_ROOTS && !this.missing.includes(s)) this.missing.push(s);
	}

	one(i, f, at, of, why) {
		const a = this.eval(i, f), v = finite(a) ? of(a) : NaN;
		return !finite(a) || finite(v) ? v : this.fail(at, why && why(a) || TOO_LARGE);
	}

	two(n, f, at, of, why) {
		const a = this.eval(n[1], f), b = this.eval(n[2], f);
		if (!finite(a) || !finite(b)) return NaN;
		const v = of(a, b);
		return finite(v) ? v : this.fail(at, why && why(a, b) || TOO_LARGE);
	}

	// decide works out two conditions, one of which is enough if it decides; what the other lacks does not matter then.
	decide(n, f, decisive) {
		const missing = this.missing.length, fault = this.fault, a = this.eval(n[1], f);
		if (a === decisive) return a;
		const b = this.eval(n[2], f);
		if (b === decisive) {
			this.missing.length = Math.min(missing, this.missing.length);
			this.fault = fault;
			return b;
		}
		return finite(a) ? b : a;
	}

	// given works out a node, or what stands in for it where that waits for something not given.
	given(i, f, instead) {
		const n = this.data.nodes[i];
		if (this.data.operators[n[0]] === 'given') return this.given(n[1], f, () => this.given(n[2], f, instead));
		const before = this.missing.length, v = this.eval(i, f);
		if (finite(v)) return v;
		const s = this.asked(i, f);
		if (s < 0 || this.walker.origin(s).noResult) return v;
		this.missing.length = Math.min(before, this.missing.length);
		return instead();
	}

	// asked returns the slot that a node names; -1 where that is not known.
	asked(i, f, known) {
		const n = this.data.nodes[i];
		switch (this.data.operators[n[0]]) {
			case 'slot': return n[1];
			case 'own': return this.base(n[1]) + f.row;
			case 'entry': return this.base(n[1]) + f.at;
			case 'lookup': {
				const key = known ?? this.eval(n[1], f), c = this.data.columns[n[2]];
				const row = this.model.machine.keys[c.table].get(key);
				return row === undefined ? -1 : c.base + row;
			}
		}
		return -1;
	}

	param(k, f) {
		const sound = !this.fault;
		let v;
		if (f.each[k]) v = this.eval(f.args[k], Object.assign({}, f.caller, {at: f.at}));
		else {
			if (!(k in f.values)) f.values[k] = this.eval(f.args[k], f.caller);
			v = f.values[k];
		}
		if (sound && this.fault && !this.fault.level) this.fault.level = f.caller.depth + 1;
		return v;
	}

	// call works a formula's body out, after its needs.
	call(n, f, i) {
		const def = this.data.formulas[n[1]];
		const inner = {row: -1, at: -1, args: n.slice(2), values: {}, each: def.each, caller: f, depth: f.depth + 1,
			call: f.call < 0 ? i : f.call};
		const before = this.fault;
		if (this.outside) {
			for (const t of def.trusts || []) {
				if (this.eval(t.root, inner) === 0) this.note({node: inner.call, msg: `${def.name}: ${t.text}`});
			}
		}
		let met = true;
		for (const need of def.needs || []) {
			const holds = this.eval(need.root, inner);
			if (holds === 0) {
				met = false;
				if (this.fault) break;
				this.fail(i, `${def.name}: ${need.text}`);
			}
			met = met && holds === 1;
		}
		const v = met ? this.eval(def.body, inner) : NaN, fault = this.fault;
		if (!before && fault && fault.node !== i && (!fault.level || fault.level > inner.depth)) {
			fault.node = i;
			fault.msg = `${def.name}: ${fault.msg.replace(/^this /, 'a value in it ')}`;
		}
		return v;
	}

	note(found) {
		if (!this.outside.some(o => o.node === found.node && o.msg === found.msg)) this.outside.push(found);
	}

	// rowsOf returns the table whose rows a list goes through, and the conditions on them, each with its frame.
	rowsOf(i, f) {
		const n = this.data.nodes[i];
		switch (this.data.operators[n[0]]) {
			case 'column': return {table: this.data.tables[this.data.columns[n[1]].table], keeps: []};
			case 'rows': return {table: this.data.tables[n[1]], keeps: []};
			case 'keep': {
				const of = this.rowsOf(n[1], f);
				return {table: of.table, keeps: [...of.keeps, {node: n[2], frame: f}]};
			}
			case 'param': return this.rowsOf(f.args[n[1]], f.caller);
		}
		const list = this.data.lists[i];
		return list === undefined ? {table: null, keeps: []} : this.rowsOf(list, f);
	}

	// eachRow visits the rows that a list goes through, and reports whether all of them were sound. What a row lacked
	// that a filter leaves out does not matter.
	eachRow(list, f, visit) {
		const {table, keeps} = this.rowsOf(list, f);
		if (!table) {
			this.eval(list, f);
			return false;
		}
		if (table.lost) {
			this.fail(list, table.lost);
			return false;
		}
		let sound = true;
		for (let row = 0; row < table.rows.length; row++) {
			if (!sound && this.missing.length === MOST_ROOTS) break;
			const missing = this.missing.length, fault = this.fault;
			let known = true, counts = true;
			for (const k of keeps) {
				const keep = this.eval(k.node, Object.assign({}, k.frame, {at: row}));
				if (keep === 0) {
					this.missing.length = Math.min(missing, this.missing.length);
					this.fault = fault;
					counts = false;
					break;
				}
				known = known && finite(keep);
			}
			if (counts) sound = known && visit(Object.assign({}, f, {at: row})) && sound;
		}
		return sound;
	}
}

const countBits = n => n.toString(2).split('1').length - 1;

// The Walker remembers what was found out about the values of a model, for as long as they do not change.
class Walker {
	constructor(model) {
		this.model = model;
		this.data = model.data;
		this.rules = rulesOf(EVALUATE, this.data.operators);
		this.marks = []; // of each slot the guesses that it rests on, and values marked as outside a range, as bits
		this.outside = []; // of each slot, uses of formulas outside their range
		this.depth = 0;
		this.guessBits = new Map();
		this.remarkBits = new Map();
		this.forget();
	}

	// forget is called whenever a value changes.
	forget() {
		this.causes = new Map();
		this.origins = new Map();
		this.stages = new Map();
	}

	// moved notes slots that were worked out again, and returns those of which the marks have changed.
	moved(slots) {
		for (const s of slots) this.outside[s] = undefined;
		return this.findMarks(slots);
	}

	// roots returns the formulas by which a slot comes to its value.
	roots(s) {
		const {slots, data} = this.model, slot = slots[s];
		if (slot.kind !== ADJUSTED) return slot.root >= 0 ? [slot.root] : [];
		const f = data.searches[data.cells[s].search];
		return f ? [f.left, f.right, f.lo, f.hi].map(at => slots[at].root).filter(root => root >= 0) : [];
	}

	// cause tells why a slot has no value: what it lacks, or what of it has no result; with neither, nothing is given.
	cause(s) {
		if (!this.causes.has(s)) this.causes.set(s, this.findCause(s));
		return this.causes.get(s);
	}

	findCause(s) {
		const slot = this.model.slots[s], cut = this.data.cuts[s];
		const fault = msg => ({missing: [], fault: {node: slot.root, msg, level: 0}});
		if (slot.lost || slot.broken) return fault(slot.lost || slot.broken);
		if (cut) return {missing: cut.missing || [], fault: cut.fault ? fault(cut.fault).fault : null};
		if (slot.kind === ADJUSTED) return this.causeOfSearch(s, fault);
		if (slot.root < 0) return {missing: [], fault: null};
		const ev = new Evaluator(this, null), v = ev.eval(slot.root, frameOf(slot.row));
		if (ev.broke) ev.missing = this.mayRead(s).filter(r => !finite(this.model.regs[r])).slice(0, MOST_ROOTS);
		if (!ev.fault && !ev.missing.length && !finite(v)) ev.fail(slot.root, 'this cannot be worked out');
		return {missing: ev.missing, fault: ev.fault};
	}

	causeOfSearch(s, fault) {
		const {model, data} = this, n = data.cells[s].search, r = model.searches[n];
		const show = x => this.quantity(x, s), name = data.cells[s].name.split('.').pop();
		if (!r) return fault('');
		if (r.missing && r.missing.length) return {missing: r.missing, fault: null};
		if (!r.searched) {
			const missing = [data.searches[n].lo, data.searches[n].hi].filter(at => !finite(model.regs[at]));
			if (missing.length) return {missing, fault: null};
			return fault('the range to search ' + (r.lo === r.hi ? 'is empty' : 'runs from the larger value to the smaller'));
		}
		const range = `between ${show(r.lo)} and ${show(r.hi)}`;
		if (!finite(r.best)) return fault('the condition cannot be worked out anywhere ' + range);
		if (r.everywhere) return fault('every value in the range makes this true');
		if (!r.zeros.length) return fault(`no ${name} ${range} makes this true`);
		const all = r.zeros.slice(0, 6).map(show);
		if (r.zeros.length > 6) all.push('more');
		return fault('more than one value makes this true: ' + joinWords(all));
	}

	// nowhere tells why the condition of a search could not be worked out at the last trial.
	nowhere(n) {
		const {model, data} = this, f = data.searches[n], {roots, noResult} = this.origin(f.goal);
		const outside = s => model.stepOf[s] !== model.stepOf[f.unknown] || model.slots[s].broken;
		return {missing: roots.filter(outside), more: noResult && roots.length === MOST_ROOTS};
	}

	// origin follows what a slot lacks to where that begins: {roots, noResult}. What is needed is explained before what
	// needs it, from a list of our own, so that no chain is too long for the stack.
	origin(s) {
		const {model} = this, work = [s];
		const lacking = t => !this.stages.get(t) && model.slots[t] && !finite(model.regs[t]);
		while (work.length && !this.origins.has(s)) {
			const at = work[work.length - 1], stage = (this.stages.get(at) || 0) + 1;
			this.stages.set(at, stage);
			if (stage === 1) {
				work.push(...this.mayRead(at).filter(lacking));
			} else if (stage === 2) work.push(...this.cause(at).missing.filter(lacking));
			else {
				work.pop();
				if (!this.origins.has(at)) this.origins.set(at, this.gather(at, this.cause(at)));
			}
		}
		return this.origins.get(s);
	}

	gather(s, {missing, fault}) {
		const o = {roots: fault || !missing.length ? [s] : [], noResult: !!fault};
		for (const next of missing) {
			const from = this.origins.get(next) || {roots: [next], noResult: false};
			o.noResult = o.noResult || from.noResult;
			for (const r of from.roots) if (o.roots.length < MOST_ROOTS && !o.roots.includes(r)) o.roots.push(r);
		}
		const r = this.model.slots[s].kind === ADJUSTED && this.model.searches[this.data.cells[s].search];
		if (r && r.more) o.noResult = true;
		return o;
	}

	// status says how a slot without a value stands, and why.
	status(s) {
		const {model} = this, {missing, fault} = this.cause(s);
		if (fault) return {state: 'none', reason: fault.msg};
		if (!missing.length) return {state: model.slots[s].kind === GIVEN ? 'empty' : 'waits', reason: 'nothing given yet'};
		const lacking = new Set(), failed = new Set();
		for (const r of this.origin(s).roots) (this.cause(r).fault ? failed : lacking).add(model.name(r));
		const waits = lacking.size ? [someOf([...lacking])] : [];
		if (failed.size) waits.push(`${someOf([...failed])}, which ${failed.size === 1 ? 'has' : 'have'} no result`);
		return {state: 'waits', reason: 'waits for ' + waits.join(', and for ')};
	}

	quantity(x, s) {
		const {unit, step} = this.model.slots[s].show, text = showNumber(x, unit, step);
		return unit.text && !unit.big ? text + ' ' + unit.text : text;
	}

	// outsideOf returns the uses of formulas outside their range in a slot's own formula, where it has a value.
	outsideOf(s) {
		if (this.outside[s]) return this.outside[s];
		const found = [], {slots, regs} = this.model;
		if (slots[s].distrust && finite(regs[s])) {
			for (const root of this.roots(s)) {
				const ev = new Evaluator(this, found);
				ev.eval(root, frameOf(slots[s].row));
				if (ev.broke) found.push({node: root, msg: 'this is not known'});
			}
		}
		this.outside[s] = found;
		return found;
	}

	// mayRead returns all that the code of a slot reads, whatever comes of it.
	mayRead(s) {
		const {needs, columnAt} = this.model, of = needs[s];
		return of ? [...of.slots, ...[...of.columns].flatMap(base => columnAt.get(base))] : [];
	}

	readBy(s) {
		if (this.data.cuts[s]) return this.data.cuts[s].reads;
		const ev = new Evaluator(this, null);
		for (const root of this.roots(s)) ev.eval(root, frameOf(this.model.slots[s].row));
		return ev.broke ? this.mayRead(s) : [...ev.reads];
	}

	// findMarks brings up to date what rests on what, for some slots and those that rest on what has changed by that. It
	// returns the slots of which the marks have changed.
	findMarks(slots) {
		const {model} = this, changed = new Set();
		const bit = (bits, s, holds) => {
			if (holds && !bits.has(s)) bits.set(s, 1n << BigInt(bits.size));
			return holds ? bits.get(s) : 0n;
		};
		let all = new Set(slots);
		while (all.size) {
			for (const s of [...all]) for (const w of model.writes[model.stepOf[s]] || []) all.add(w); // all parts of a search
			const list = [...all].filter(s => model.slots[s]).sort((a, b) => (model.stepOf[a] ?? -1) - (model.stepOf[b] ?? -1));
			const before = list.map(s => this.marks[s]);
			for (const s of list) {
				const slot = model.slots[s], remarked = !slot.part && this.outsideOf(s).length > 0;
				this.marks[s] = {guesses: bit(this.guessBits, s, slot.guess), remarks: bit(this.remarkBits, s, remarked)};
			}
			if (this.guessBits.size || this.remarkBits.size) {
				const reads = list.map(s => this.readBy(s));
				for (let moved = true; moved;) { // until nothing moves: the parts of a search rest on one another
					moved = false;
					list.forEach((s, k) => {
						const of = this.marks[s], {guesses, remarks} = of;
						for (const r of reads[k]) {
							of.guesses |= this.marks[r].guesses;
							of.remarks |= this.marks[r].remarks;
						}
						moved = moved || of.guesses !== guesses || of.remarks !== remarks;
					});
				}
			}
			const next = new Set();
			list.forEach((s, k) => {
				const now = this.marks[s], was = before[k];
				if (was && was.guesses === now.guesses && was.remarks === now.remarks) return;
				changed.add(s);
				model.eachReader(s, step => model.writes[step].forEach(w => { if (!all.has(w)) next.add(w); }));
			});
			all = next;
		}
		return changed;
	}

	guessesOf(s) { return this.marks[s].count ??= countBits(this.marks[s].guesses); }

	// holdsInRow works out a condition on what may be chosen, for one row.
	holdsInRow(node, row) {
		this.forget();
		const x = new Evaluator(this, null).eval(node, {row: -1, at: row, depth: 0, call: -1});
		this.forget();
		return x === 1;
	}

	// why tells how a value comes about, one step of it.
	why(place) {
		const {model, data} = this, slot = model.slots[place], cell = slot.column < 0 ? data.cells[place] : null;
		const formula = data.written[place] || (cell || data.columns[slot.column])?.formula || '';
		const values = [];
		const seen = new Set(), called = new Set(), ev = new Evaluator(this, null);
		const value = s => {
			if (seen.has(s)) return;
			seen.add(s);
			values.push({name: model.name(s), place: s});
		};
		const column = number => {
			const c = data.columns[number], t = data.tables[c.table];
			if (t.list || seen.has('c' + number)) return;
			seen.add('c' + number);
			values.push({name: `${t.name}.${c.name}`, place: null});
		};
		const visit = (i, f) => {
			const n = data.nodes[i], operator = data.operators[n[0]];
			switch (operator) {
				case 'slot': {
					const s = model.slots[n[1]];
					return s.part && s.root >= 0 ? visit(s.root, f) : value(n[1]);
				}
				case 'spread': return value(n[1]);
				case 'own': return value(ev.base(n[1]) + f.row);
				case 'entry': case 'column': return column(n[1]);
				case 'lookup': {
					visit(n[1], f);
					const s = ev.asked(i, f);
					return s < 0 ? column(n[2]) : value(s);
				}
				case 'call':
					called.add(data.formulas[n[1]]);
					return n.slice(2).forEach(o => visit(o, f));
				case 'const': case 'text': case 'boolean': case 'param': case 'rows': case 'broken': return undefined;
				case 'func': return n.slice(2).forEach(o => visit(o, f));
			}
			const nodes = {pick: 1, fold: 1, points: 2, equal: 2, notEqual: 2}[operator];
			return n.slice(1, nodes ? 1 + nodes : undefined).forEach(o => visit(o, f));
		};
		for (const root of this.roots(place)) visit(root, frameOf(slot.row));
		return {formula, values, source: [...called]};
	}
}
