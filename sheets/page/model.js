// The model: what stands in the place of a Model of package engine, for one sheet and whoever opened the page. A place
// is the number of a slot.

const GIVEN = 0, ADJUSTED = 2; // kinds of slots
const NUMBER = 1, TEXT = 2, BOOLEAN = 3; // types of slots
const MOST_ROOTS = 64; // origins of one lack that are kept apart
const MOST_STEPS = 2_000_000; // nodes that are looked at for one value ...
const MOST_DEEP = 1200; // ... and how deep one may be within another
const MOST_TEXT = 4096; // bytes of a text
const MOST_JOINED = 16 << 20; // bytes of all joined texts

const quote = s => '"' + s.replace(/\\/g, '\\\\').replace(/"/g, '\\"').replace(/\r\n|\n|\r/g, ' ') + '"';
const bytes = s => new TextEncoder().encode(s).length;

const joinWords = w => w.length < 2 ? w.join('') : w.slice(0, -1).join(', ') + ' and ' + w[w.length - 1];

const someOf = names => joinWords(names.length > 4 ? [...names.slice(0, 3), names.length - 3 + ' more'] : names);

const PLAIN = prepareUnit({text: '', dim: '', num: '1', den: '1', factor: 1});
const isWhole = ({show: {unit, step}}) => !unit.text && !!step && step.num === step.den;

// tidy writes a number as a sheet takes it.
const tidy = text => text.replace(/^\+\s*/, '').replace(/^[–—−‒–‑]/, '-').replace(/e\+/i, 'e');

class GussetModel {
	constructor(data) {
		TOLERANCE = data.tolerance;
		this.data = data;
		this.units = data.units.map(prepareUnit);
		this.showsOf = data.shows.map(s => ({unit: this.units[s.unit], step: readStep(s.step)}));
		this.texts = data.texts.slice();
		this.textNumber = new Map();
		data.texts.forEach((s, n) => { if (s !== null) this.textNumber.set(s, n); });
		this.joined = 0;
		this.slots = this.unpackSlots();
		this.unpack();
		for (const s of data.guesses) this.slots[s].guess = true;
		this.own = new Map(); // given places that hold something else than the sheet: {value, guess, text}
		this.searches = {};
		this.walker = new Walker(this);
		this.machine = new Machine(data, {
			waits: s => this.waits(s), join: (a, b) => this.join(a, b), tried: () => this.walker.forget(),
			found: (n, r) => { this.searches[n] = r; }, nowhere: n => this.walker.nowhere(n),
		});
		this.regs = this.machine.regs;
		this.before = new Map(data.held.filter(([r]) => r < data.slotCount)); // what given places hold in the sheet
		this.guessed = new Set(data.guesses);
		this.link();
		this.stale = new Set();
		this.runSteps(data.steps.map(() => true));
		this.walker.findMarks(this.slots.map((_, s) => s));
		this.first = this.regs.slice();
		this.sent = new Map();
		const cuts = Object.keys(data.cuts).map(Number);
		for (const s of [...cuts, ...this.reach(cuts)]) this.sent.set(s, this.shown(s));
		this.stands = this.slots.map(s => this.choicesBy(s));
		this.affected = [];
	}

	// unpackSlots makes the slots of their lists of numbers, and those that are as their column says.
	unpackSlots() {
		const {data} = this, slots = new Array(data.slotCount);
		const make = (place, [kind, type, show, root, flags, row = slots[place]?.row ?? 0], column = -1) => {
			slots[place] = {place, kind, type, show: this.showsOf[show], root, row, column, part: !!(flags & 1),
				distrust: !!(flags & 2), settable: !!(flags & 4), guess: false, broken: data.broken[place], lost: data.lost[place]};
		};
		for (const column in data.columns) {
			const c = data.columns[column];
			for (let row = 0; row < c.rows; row++) make(c.base + row, [...c.entry, row], +column);
		}
		for (const s in data.slots) make(+s, data.slots[s], slots[s]?.column);
		return slots;
	}

	// unpack makes steps that are like another one but for the row, and what is sent as a difference.
	unpack() {
		const {data} = this, {steps, shifts, held} = data;
		data.steps = steps.flatMap(code => code[0] >= 0 ? [code] : Array.from({length: code[2]}, (_, i) => {
			const like = -1 - code[0], copy = steps[like].slice();
			for (const at of shifts[like]) copy[at] += code[1] + i;
			return copy;
		}));
		data.nodes.forEach((n, i) => {
			if (data.operators[n[0]] !== 'const') n.forEach((x, k) => { if (x < 0) n[k] += i; });
		});
		let r = 0;
		data.held = held.registers.map((by, i) => [r += by, held.values[i]]);
	}

	// link finds out which steps read and write what, from the instructions.
	link() {
		const {data} = this;
		this.columnAt = new Map(); // by its first slot, every slot of a column
		this.columnOf = []; // of a slot, the first slot of its column
		for (const c of Object.values(data.columns)) {
			const slots = Array.from({length: c.rows}, (_, i) => c.base + i);
			this.columnAt.set(c.base, slots);
			for (const s of slots) this.columnOf[s] = c.base;
		}
		this.readers = []; // of each slot, the steps that read it
		this.columnReaders = []; // by its first slot, the steps that read of a column ...
		this.lookups = []; // ... and the slots that each step has looked up: these alone, where it does nothing else
		this.writes = []; // of each step, the slots that it writes
		this.stepOf = []; // of each slot that is written
		this.needs = []; // of each slot that is written, the slots and the columns that its own code reads
		const put = (lists, at, x) => { (lists[at] = lists[at] || []).push(x); };
		data.steps.forEach((code, step) => {
			const written = this.writes[step] = [], read = new Set(), columns = new Set(), whole = new Set();
			this.eachNeed(code, (slot, needs) => {
				written.push(slot);
				this.stepOf[slot] = step;
				this.needs[slot] = needs;
				for (const s of [...needs.slots, ...data.trusted[slot] || []]) read.add(s);
				for (const base of needs.columns) columns.add(base);
				for (const base of needs.whole) whole.add(base);
			});
			for (const s of read) if (!written.includes(s)) put(this.readers, s, step);
			for (const base of columns) put(this.columnReaders, base, [step, whole.has(base)]);
			this.lookups[step] = new Set();
		});
		this.cutSteps = new Set(Object.keys(data.cuts).map(s => this.stepOf[s]).filter(step => step !== undefined));
	}

	// eachReader visits the steps that read a slot.
	eachReader(s, visit) {
		(this.readers[s] || []).forEach(visit);
		for (const [step, whole] of this.columnReaders[this.columnOf[s]] || []) {
			if (whole || this.cutSteps.has(step) || this.lookups[step].has(s)) visit(step);
		}
	}

	// eachNeed goes through code, and tells of each slot that is written what has been read since the one before.
	eachNeed(code, tell) {
		const {data} = this, isSlot = r => r >= 0 && r < data.slotCount;
		const none = () => ({slots: new Set(), columns: new Set(), whole: new Set()}); // whole: not only looked up
		let needs = none();
		const column = (base, length, lookedUp) => {
			if (this.columnAt.has(base)) {
				needs.columns.add(base);
				if (!lookedUp) needs.whole.add(base);
			} else for (let s = base; s < base + length; s++) read(s);
		};
		const read = r => { if (isSlot(r)) needs.slots.add(r); };
		const visit = part => {
			for (let i = 0; i < part.length; i += 5) {
				const roles = data.ops[part[i]].roles;
				for (let k = 3; k >= 0; k--) { // what is written comes last
					const x = part[i + 1 + k];
					if (roles[k] === 'read') read(x);
					else if (roles[k] === 'column' || roles[k] === 'place') column(x, 1, roles.includes('table'));
					else if (roles[k] === 'range') column(x, part[i + 1 + roles.indexOf('length')]);
					else if (roles[k] === 'fold') {
						visit(data.folds[x].keep);
						visit(data.folds[x].each);
						[...data.folds[x].regs, ...data.folds[x].cut || []].forEach(read);
					} else if (roles[k] === 'search') {
						const f = data.searches[x];
						[f.lo, f.hi].forEach(read);
						done(f.unknown);
						visit(f.body);
					} else if (roles[k] === 'written' && isSlot(x)) done(x);
				}
			}
		};
		const done = slot => {
			tell(slot, needs);
			needs = none();
		};
		visit(code);
	}

	// reach returns all slots that depend on some.
	reach(from) {
		const slots = new Set(), work = [...from];
		while (work.length) {
			this.eachReader(work.pop(), step => {
				for (const w of this.writes[step]) {
					if (slots.has(w)) continue;
					slots.add(w);
					work.push(w);
				}
			});
		}
		return slots;
	}

	// runSteps works out again the steps that are awake, in order, and wakes those that read what has changed: it returns
	// the slots that were worked out, and those among them that changed. What only the tool works out is as it was sent,
	// and so is all that depends on it once it is out of step.
	runSteps(awake) {
		const {data, regs} = this, ran = new Set(), changed = new Set();
		this.walker.forget();
		data.steps.forEach((code, step) => {
			if (!awake[step]) return;
			const slots = this.writes[step], before = slots.map(s => regs[s]);
			if (this.cutSteps.has(step)) {
				for (const s of slots) regs[s] = data.cuts[s]?.value ?? NaN;
			} else if (slots.some(s => this.stale.has(s))) {
				for (const s of slots) regs[s] = this.first[s];
			} else {
				this.machine.looked = this.lookups[step] = new Set();
				this.machine.run(code, 0);
			}
			this.walker.forget();
			slots.forEach((s, k) => {
				ran.add(s);
				// without a value the reason may be another one, and a part shares its remarks with what reads it
				if (regs[s] === before[k] && finite(regs[s]) && !(this.slots[s].part && this.slots[s].distrust)) return;
				changed.add(s);
				this.eachReader(s, reader => { awake[reader] = true; });
			});
		});
		return {ran, changed};
	}

	// put gives given places what they hold now, and works out what depends on it.
	put(places) {
		const awake = [], affected = new Set(places);
		const wake = step => { awake[step] = true; };
		for (const s of places) {
			const own = this.own.get(s);
			this.regs[s] = own ? own.value : this.before.get(s) ?? NaN;
			this.slots[s].guess = own ? own.guess : this.guessed.has(s);
			this.eachReader(s, wake);
		}
		if (this.cutSteps.size) {
			const cut = [...this.reach(this.own.keys())].filter(s => this.data.cuts[s]);
			const now = new Set([...cut, ...this.reach(cut)]);
			for (const s of [...now, ...this.stale]) {
				if (now.has(s) === this.stale.has(s)) continue;
				affected.add(s);
				wake(this.stepOf[s]);
			}
			this.stale = now;
		}
		const {ran, changed} = this.runSteps(awake);
		for (const s of changed) affected.add(s);
		for (const s of this.walker.moved([...places, ...ran])) affected.add(s);
		this.affected = [...affected].filter(s => this.slots[s] && !this.slots[s].part);
	}

	set(place, text) {
		const s = this.slots[place];
		if (!s || s.kind !== GIVEN || s.root >= 0) return 'this is worked out: change what it comes from';
		if (!s.settable) return 'this can be changed in the sheet alone';
		const read = this.read(s, text.trim());
		if (read.error) return read.error;
		const was = this.own.get(place), sheet = this.before.get(place) ?? NaN;
		const same = Object.is(read.value, sheet) && read.guess === this.guessed.has(place) &&
			read.tolerance === (this.data.tolerances[place] || '');
		if (this.changesChoices(s, read.value)) {
			return 'this changes what may be chosen elsewhere: change it in the sheet';
		}
		if (same) this.own.delete(place);
		else this.own.set(place, {...read, text: s.type === NUMBER ? tidy(text.trim()) : text.trim()});
		if (was || !same) this.put([place]);
		else this.affected = [];
		return null;
	}

	undo(place) {
		this.affected = [];
		if (this.own.delete(place)) this.put([place]);
	}

	undoAll() {
		const places = [...this.own.keys()];
		this.own.clear();
		this.affected = [];
		if (places.length) this.put(places);
	}

	// read reads a value typed for a slot: {value, guess}, or {error}.
	read(s, typed) {
		const choice = this.limits(s);
		let guess = false, text = typed;
		const marked = typed.match(/^(.*[^?\s])\s*\?$/s);
		const quoted = t => t.match(/^"((?:[^"\\]|\\.)*)"$/);
		if (marked && (s.type !== TEXT || quoted(marked[1]))) [guess, text] = [true, marked[1]];
		if (text === '') return {value: NaN, guess: false, tolerance: ''};
		const inQuotes = quoted(text);
		if (s.type === TEXT || inQuotes && s.type === 0) {
			const said = inQuotes ? inQuotes[1].replace(/\\(.)/g, '$1') : text;
			if (/[\p{Cc}\u2028\u2029\u202a-\u202e\u2066-\u2069]/u.test(said) || bytes(said) > MOST_TEXT) {
				return {error: 'a text is one line of characters that can be seen, and not too long'};
			}
			if (choice && !choice.includes(said)) return {error: `it cannot be ${quote(said)}: choose from the list`};
			return {value: this.numberOf(said), guess, tolerance: ''};
		}
		if (inQuotes) return {error: s.type === BOOLEAN ? 'this needs yes or no' : 'this needs a number, not a text'};
		if (text === 'yes' || text === 'no') {
			return s.type === BOOLEAN ? {value: yes(text === 'yes'), guess, tolerance: ''} : {error: 'this is not yes or no'};
		}
		if (s.type === BOOLEAN) return {error: 'this needs yes or no'};
		if (s.type !== NUMBER) return {error: 'the sheet does not say of what kind this is'};
		const [number, off, more] = text.split(/±|\+\/?-/);
		const unitOf = name => this.units[this.data.readable[name]];
		const n = readNumber(number, s.show.unit, unitOf);
		if (n.error) return n;
		if (isWhole(s) && !n.unit.text && !Number.isInteger(n.si)) return {error: 'this is counted in whole numbers'};
		if (n.hasUnit && n.unit.dim !== s.show.unit.dim) return {error: 'this does not measure what is asked for here'};
		const tolerance = off === undefined ? '' : this.tolerance(s, n, off.trim(), unitOf);
		if (more !== undefined || tolerance === null) return {error: 'how far off it may be cannot be read'};
		return {value: n.si, guess, tolerance};
	}

	// tolerance reads how far off a number may be, and returns it as it is shown; null where that cannot be read. What
	// comes of it is the tool's.
	tolerance(s, n, typed, unitOf) {
		const [, size, kind = ''] = typed.match(/^(.*?)(\s+normal|\s+sd)?$/), {unit} = s.show;
		const share = size.match(/^(.*\S)\s*%$/), inPercent = unit.text === '%' || n.unit.text === '%';
		const by = share ? readNumber(share[1], PLAIN, () => null) : readNumber(size, n.unit, unitOf);
		const half = share ? by.si / 100 * Math.abs(n.si) : unit.reading ? fromSI(by.si, unit) : by.si;
		if (!(half > 0) || (share ? inPercent : by.unit.dim !== n.unit.dim) || isWhole(s) && !kind && half < 1) return null;
		if (unit.reading && (share || by.hasUnit || n.unit !== unit)) return null;
		const asTyped = by.amount && (share || by.unit.text === unit.text);
		return `± ${asTyped ? by.amount : showNumber(by.si, unit, null)}${share ? ' %' : ''}${kind.replace(/\s+/, ' ')}`;
	}

	// limits returns what a slot can be alone; undefined: anything.
	limits(s) {
		const of = this.data.columns[s.column] || this.data.cells[s.place];
		return of && of.choice ? this.data.choices[of.choice] : undefined;
	}

	choices(place) { return this.limits(this.slots[place]) || null; }

	// choicesBy works out for which conditions a slot makes its row one that may be chosen elsewhere.
	choicesBy(s) {
		const {decides} = this.data.columns[s.column] || {};
		return (decides || []).map(node => this.walker.holdsInRow(node, s.row)).join();
	}

	// changesChoices reports whether a value would change which rows of its table may be chosen elsewhere: that goes by
	// the sheet as it stands.
	changesChoices(s, value) {
		const was = this.regs[s.place];
		this.regs[s.place] = value;
		const now = this.choicesBy(s);
		this.regs[s.place] = was;
		return now !== this.stands[s.place];
	}

	numberOf(text) {
		if (!this.textNumber.has(text)) {
			this.textNumber.set(text, this.texts.length);
			this.texts.push(text);
		}
		return this.textNumber.get(text);
	}

	join(a, b) {
		const text = this.texts[a] + this.texts[b];
		if (bytes(text) > MOST_TEXT) return NaN;
		if (!this.textNumber.has(text)) {
			this.joined += Math.max(bytes(text), 64);
			if (this.joined > MOST_JOINED) return NaN;
		}
		return this.numberOf(text);
	}

	waits(s) {
		const slot = this.slots[s];
		if (!slot || slot.broken) return false;
		return slot.kind === GIVEN || !this.walker.origin(s).noResult;
	}

	name(place) {
		const s = this.slots[place];
		if (s.part) return this.data.names[place];
		if (s.column < 0) return this.data.cells[place].name;
		const c = this.data.columns[s.column], t = this.data.tables[c.table];
		return `${t.name}[${quote(this.texts[t.rows[s.row]])}].${c.name}`;
	}

	changed() {
		return [...this.own].map(([place, own]) => ({place, name: this.name(place), text: own.text}));
	}

	lines() {
		const {title, file, fingerprint} = this.data;
		const value = ({place, text}) => {
			const s = this.slots[place];
			if (s.type !== TEXT || text === '' || text[0] === '"') return text;
			return quote(text);
		};
		return [`// ${title}`, `// file ${file}`, `// fingerprint ${fingerprint}`,
			...this.changed().map(c => `${c.name} : ${value(c)}`.trimEnd())].join('\n') + '\n';
	}

	// text returns the value of a slot as it is shown, without its unit.
	text(s) {
		const x = this.regs[s.place], {unit, step} = s.show;
		if (s.type === TEXT) return this.texts[x] || '';
		if (s.type === BOOLEAN) return x === 1 ? 'yes' : 'no';
		if (s.kind === GIVEN && !step && !unit.big) {
			const exact = exactNumber(x, unit);
			if (exact.length <= 9) return exact;
		}
		return showNumber(x, unit, step);
	}

	shown(place) {
		if (this.stale.has(place)) return Object.assign({}, this.sent.get(place), {stale: true});
		const s = this.slots[place], check = s.column < 0 && !s.part && this.data.cells[place].check;
		const shown = {text: '', unit: '', state: 'known', guess: s.guess, guesses: 0,
			outside: false, tolerance: '', stale: false, reason: ''};
		if (finite(this.regs[place])) {
			shown.guesses = this.walker.guessesOf(place);
			shown.tolerance = (this.own.get(place)?.tolerance ?? this.data.tolerances[place]) || '';
			shown.outside = this.walker.marks[place].remarks > 0n;
			if (check) shown.state = shown.text = this.regs[place] === 1 ? 'holds' : 'fails';
			else {
				shown.text = this.text(s);
				if (s.type === NUMBER && !s.show.unit.big) shown.unit = s.show.unit.text;
			}
			return shown;
		}
		const {state, reason} = this.walker.status(place);
		shown.state = state;
		shown.text = {waits: 'waits', empty: 'not given', none: 'no result'}[state];
		if (state === 'empty') shown.unit = s.show.unit.text && `[${s.show.unit.text}]`;
		else shown.reason = reason;
		return shown;
	}

	why(place) { return this.walker.why(place); }
}
