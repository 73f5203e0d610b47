// The page in a browser: what is given can be changed, what follows is shown, and each number explains itself. All
// numbers are on the page without it. Values, units and formulas are the machine's (GussetModel); here is only what is
// seen of them.
(() => {
	'use strict';
	const one = (selector, within = document) => within.querySelector(selector);
	const all = (selector, within = document) => [...within.querySelectorAll(selector)];
	const make = (tag, set = {}, ...children) => {
		const el = Object.assign(document.createElement(tag), set);
		el.append(...children);
		return el;
	};
	const fold = (name) => name.split(/(?<=_)/).flatMap((part, i) => i ? [make('wbr'), part] : [part]);

	let model = null;    // of the sheet; null where the page has none
	let elements = null; // what shows a value, by its place
	let sent = null;     // what was shown of what is watched when the page was sent, by its place
	let watched = null;  // the chief results and the checks: what they are called and what is shown of them now, by place
	const saidFirst = new Map(); // what was said beside cells when the page was sent
	let cuts = null;     // what is said of cutting plans, by place
	let checks = null;   // checks in short, by place
	let groups = null;   // where they are, by how they stand
	let dated = null;    // what says so of itself as soon as anything is changed: pictures, and how far off results may be
	let kept = null;     // what is kept on this device; null where nothing is

	// readPage finds out what is where on the page.
	const readPage = async () => {
		for (const dd of all('dd[data-place], .check > dt + dd')) { // which cannot be a button
			if (dd.firstChild?.nodeType !== Node.TEXT_NODE) dd.prepend('');
			const [text, ...after] = dd.childNodes;
			const value = make('span', {className: 'v ' + dd.className}, make('bdi', {textContent: text.data.trim()}), ' ', ...after);
			text.remove();
			value.dataset.place = dd.dataset.place ?? dd.parentNode.id.slice(1);
			dd.removeAttribute('data-place');
			dd.className = '';
			dd.append(value);
		}
		for (const table of all('.scroll > table')) {
			const heads = all('thead th', table);
			all('tbody tr', table).forEach((row, i) => [...row.cells].forEach((cell, k) => {
				const head = heads[k];
				if (cell.tagName !== 'TD' || !head) return;
				if (head.dataset.first) cell.dataset.place = Number(head.dataset.first) + i;
				if (head.classList.contains('g')) cell.classList.add('g');
			}));
		}
		elements = byPlace('place');
		rest.clear();
		near.clear();
		for (const part of all('.sheet > *')) observer.observe(part);
		model = null;
		const data = document.getElementById('data');
		try {
			if (data) model = new GussetModel(await unpack(JSON.parse(data.textContent)));
		} catch (e) {
			document.getElementById('able').textContent = `Nothing can be changed on this page in this browser (${e.message}).`;
		}
		sent = new Map();
		watched = new Map();
		for (const el of model ? [...all('.chief .v'), ...all('.cells .check .v')] : []) {
			const place = Number(el.dataset.place);
			remember(place);
			watched.set(place, {name: nameOf(el), now: sent.get(place), fails: el.classList.contains('s-fails')});
		}
		cuts = byPlace('cut');
		checks = new Map(all('.chips a').map((a) => [Number(a.hash.slice(2)), a.parentNode]));
		groups = new Map(all('[data-group]').map((group) => [group.dataset.group, group]));
		dated = {sent: all('.sent'), spread: all('.spread')};
	};

	// byPlace returns elements by the place that one of their attributes has.
	const byPlace = (attribute) => {
		const found = new Map();
		for (const el of all(`[data-${attribute}]`)) {
			const place = Number(el.dataset[attribute]);
			if (!found.has(place)) found.set(place, []);
			found.get(place).push(el);
		}
		return found;
	};

	// unpack reads the data of the page: JSON, deflated, in base64.
	const unpack = (text) => {
		if (!window.DecompressionStream) throw new Error('it cannot unpack the data: a browser of 2023 or later can');
		const bytes = Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
		const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream('deflate-raw'));
		return new Response(stream).json();
	};

	const remember = (place) => { if (!sent.has(place)) sent.set(place, said(model.shown(place))); };

	// said is all that is shown of a value in one text.
	const said = (s) => [s.text, s.unit, s.tolerance, marks(s)].filter(Boolean).join(' ');
	const marks = (s) => [s.guess || s.guesses ? '?' : '', s.outside ? '!' : ''].join(' ').trim();
	const isGiven = (el) => el.classList.contains('g');
	const isAdjusted = (place) => model.slots[place].kind === 2;
	const isEntry = (el) => el.tagName === 'TD';
	const typed = (s) => s.state === 'empty' ? '' : s.text;

	// nameOf is what an element's value is called for those who hear it.
	const nameOf = (el) => {
		if (!isEntry(el)) return el.closest('div')?.querySelector('dt')?.textContent ?? '';
		const head = el.closest('table').tHead.rows[0].cells[el.cellIndex];
		return el.parentNode.cells[0].textContent + ', ' + (head ? one('bdi', head).textContent : '');
	};

	// show writes a value as the model has it into an element. Much may hang on one change: what is there already is not
	// written.
	const show = (el, s) => {
		const field = isGiven(el) ? one('.field', el) : null, entry = isEntry(el);
		if (field && field !== document.activeElement) field.value = typed(s);
		const text = field ? '' : entry && s.state === 'empty' ? document.body.dataset.blank : s.text;
		const after = [entry ? '' : s.unit, s.tolerance, marks(s)];
		const was = field ? all('i, u', el).map((part) => part.textContent).join(' ') : el.textContent.trim();
		const isMoved = was !== [text, ...after].filter(Boolean).join(' ') && !(field && entry);
		if (isMoved) {
			const first = field ?? (entry ? text : make('bdi', {textContent: text}));
			el.replaceChildren(first, ...after.flatMap((part, i) =>
				part ? [' ', i === 1 && entry ? part : make(i === 2 ? 'u' : 'i', {textContent: part})] : []),
				...all('.refused', el));
			if (was && isSeen(el)) movedNow.add(el); // not what was being typed in
		}
		const state = {known: '', empty: ' s-waits'}[s.state] ?? ' s-' + s.state;
		const shown = el.className.replace(/ ?\b(s-\w+|stale|changed|moved)\b/g, '') + state + (s.stale ? ' stale' : '') +
			(model.own.has(Number(el.dataset.place)) ? ' changed' : '') + (movedNow.has(el) ? ' moved' : '');
		if (shown.trim() !== el.className) el.className = shown.trim();
	};

	// say writes a text, and hide hides or shows, where that is not so already.
	const say = (el, text) => { if (el.textContent !== String(text)) el.textContent = text; };
	const hide = (el, hidden) => { if (el.hidden !== hidden) el.hidden = hidden; };

	// refresh shows what a change has moved: at once what is on the screen, and the rest when there is time for it.
	const refresh = (places) => {
		forgetMoved();
		for (const place of places) {
			if (watched.has(place) || elements.get(place)?.some(isSeen)) showPlace(place);
			else rest.add(place);
		}
		for (const [place, {fails}] of watched) if (fails) sayBeside(place, model.shown(place));
		for (const group of groups.values()) {
			const count = one('.chips', group).children.length;
			say(one('.count', group), count);
			hide(group, count === 0);
		}
		listChanges();
		const touched = model.own.size > 0;
		for (const note of dated.sent) hide(note, !touched);
		for (const note of dated.spread) note.classList.toggle('stale', touched);
		keep();
		if (rest.size) whenIdle(showRest);
	};

	// What is near the screen is observed by parts of the page; what is in none of them counts as near.
	const near = new Set();
	const observer = new IntersectionObserver((parts) => {
		for (const {target, isIntersecting} of parts) near[isIntersecting ? 'add' : 'delete'](target);
	}, {rootMargin: '50%'});
	const isSeen = (el) => {
		const part = el.closest('.sheet > *');
		return !part || near.has(part);
	};

	// rest is what was moved and is not on the screen; showRest shows it, or as much as there is time for.
	const rest = new Set();
	const showRest = (deadline) => {
		for (const place of [...rest]) {
			showPlace(place);
			if (deadline && !deadline.didTimeout && deadline.timeRemaining() < 4) break;
		}
		if (rest.size) whenIdle(showRest);
	};

	// showPlace shows a value wherever it is on the page.
	const showPlace = (place) => {
		rest.delete(place);
		const s = model.shown(place);
		for (const el of elements.get(place) ?? []) {
			show(el, s);
			const bought = el.closest('.buy');
			if (bought) hide(bought, s.text === '0');
		}
		for (const el of cuts.get(place) ?? []) el.classList.toggle('stale', Boolean(s.stale));
		if (checks.has(place)) regroup(checks.get(place), s);
		if (watched.has(place)) Object.assign(watched.get(place), {now: said(s), fails: s.state === 'fails'});
		sayBeside(place, s);
	};

	// whenIdle does something when there is nothing else to do, at the latest soon.
	const whenIdle = (f) => window.requestIdleCallback ? requestIdleCallback(f, {timeout: 200}) : setTimeout(f, 50);

	// What has moved is marked for a moment.
	const movedNow = new Set();
	let forgetting = 0;
	const forgetMoved = () => {
		clearTimeout(forgetting);
		movedNow.clear();
		forgetting = setTimeout(() => { for (const el of all('.moved')) el.classList.remove('moved'); }, 1500);
	};

	// sayBeside says beside a cell why it has no value, and what a check that fails rests on now; and once nothing is
	// changed any more what was said when the page was sent.
	const sayBeside = (place, s) => {
		for (const el of elements.get(place) ?? []) {
			const cell = isEntry(el) ? null : el.closest('.cells > div, .chief > div');
			if (!cell) continue;
			if (!saidFirst.has(cell)) saidFirst.set(cell, one('.now', cell)?.textContent ?? '');
			let text = s.reason || '';
			if (s.state === 'fails') {
				text = model.why(place).values.filter((v) => v.place != null).map((v) =>
					v.name + ' ' + said(model.shown(v.place))).join(', ');
			}
			if (!model.own.size) text = saidFirst.get(cell);
			let now = one('.now', cell);
			if (!now && text) {
				const note = one('dd + dd:not(.spread)', cell) ?? cell.appendChild(make('dd'));
				now = make('span', {className: 'now'});
				note.prepend(now, note.textContent ? ' · ' : '');
			}
			if (now) say(now, text);
		}
	};

	// regroup puts a check among those that stand like it, struck through where that is not known any more.
	const regroup = (item, {state, stale}) => {
		item.classList.toggle('stale', Boolean(stale));
		const chips = groups.has(state) ? one('.chips', groups.get(state)) : null;
		if (chips && item.parentNode !== chips) chips.append(item);
	};

	// listChanges shows what was changed, and which of the chief results and checks it moved.
	const listChanges = () => {
		const changes = model.changed();
		const box = document.getElementById('changes');
		hide(box, changes.length === 0);
		say(one('.count', box), changes.length);
		one('ul', box).replaceChildren(...changes.map((c) => make('li', {},
			make('bdi', {}, make('b', {}, ...fold(c.name))), ' ', make('bdi', {textContent: c.text}), ' ',
			make('span', {className: 'note', textContent: sent.has(c.place) ? 'was ' + sent.get(c.place) : ''}), ' ',
			make('button', {type: 'button', textContent: 'Undo', ariaLabel: 'Undo ' + c.name,
				onclick: () => { model.undo(c.place); refresh(model.affected); }}))));
		const moved = [];
		for (const [place, {name, now}] of watched) {
			if (now !== sent.get(place)) moved.push(`${name} ${now}, was ${sent.get(place)}`);
		}
		const most = 8;
		if (moved.length > most) moved.splice(most, moved.length, `and ${moved.length - most} more`);
		document.getElementById('said').replaceChildren(...moved.flatMap((m, i) => i ? [make('br'), m] : [m]));
		const given = new Set(changes.filter((c) => !model.shown(c.place).guess).map((c) => c.name));
		const guesses = document.getElementById('guesses');
		if (guesses) {
			for (const item of all('li', guesses)) hide(item, given.has(one('b', item).textContent));
			say(one('.count', guesses), all('li', guesses).filter((item) => !item.hidden).length);
		}
	};

	// set gives a value another one; where it cannot be, it says why beside the field.
	const set = (place, text, field) => {
		remember(place);
		const refused = model.set(place, text);
		const beside = field.parentNode;
		one('.refused', beside)?.remove();
		field.setAttribute('aria-invalid', refused ? 'true' : 'false');
		if (refused) {
			const id = 'refused' + place;
			beside.append(make('span', {className: 'refused', id, role: 'alert', textContent: refused}));
			field.setAttribute('aria-describedby', id);
			return false;
		}
		field.removeAttribute('aria-describedby');
		refresh(model.affected);
		if (field.closest('#why')) explain(...trail.pop());
		return true;
	};

	// fieldFor makes what a value is typed or chosen in.
	const fieldFor = (place, label) => {
		const s = model.shown(place);
		const isYesNo = elements.get(place)?.some((el) => el.classList.contains('b'));
		const choices = isYesNo ? ['yes', 'no'] : model.choices(place);
		let field;
		if (choices) {
			const options = choices.includes(typed(s)) ? choices : ['', ...choices];
			field = make('select', {className: 'field'}, ...options.map((c) => make('option', {value: c, textContent: c})));
			field.onchange = () => set(place, field.value, field);
		} else {
			field = make('input', {className: 'field', type: 'text', autocomplete: 'off', spellcheck: false});
			field.onkeydown = (e) => {
				if (e.key === 'Enter') { e.preventDefault(); field.blur(); }
				if (e.key === 'Escape') { field.value = typed(model.shown(place)); field.blur(); }
			};
			field.onblur = () => {
				if (field.value.trim() !== typed(model.shown(place))) set(place, field.value.trim(), field);
			};
		}
		field.value = typed(s);
		field.setAttribute('aria-label', label + (s.unit ? ', in ' + s.unit.replace(/[[\]]/g, '') : ''));
		return field;
	};

	// edit opens a field in an entry of a table, until it is left.
	const edit = (cell) => {
		if (one('.field', cell)) return;
		const place = Number(cell.dataset.place);
		const field = fieldFor(place, nameOf(cell));
		const leave = field.onblur;
		field.onblur = () => {
			if (field.parentNode !== cell) return;
			leave?.();
			if (one('.refused', cell)) return;
			field.onblur = null; // it is left once more as it goes
			field.remove();
			show(cell, model.shown(place));
		};
		if (field.tagName === 'SELECT') {
			const choose = field.onchange;
			field.onchange = () => { choose(); field.blur(); cell.focus(); };
		}
		const keys = field.onkeydown;
		field.onkeydown = (e) => {
			e.stopPropagation();
			keys?.(e);
			if (e.key === 'Enter' || e.key === 'Escape') cell.focus();
		};
		cell.replaceChildren(field);
		field.focus();
		field.select?.();
	};

	// explain opens what a value comes from; each value that it rests on leads further.
	const trail = [];
	const explain = (place, name) => {
		const why = model.why(place), s = model.shown(place), dialog = document.getElementById('why');
		trail.push([place, name]);
		const body = [make('p', {className: 'now-value'}, make('b', {textContent: said(s)}))];
		if (s.reason) body.push(make('p', {className: 's-none', textContent: s.reason}));
		if (s.stale) body.push(make('p', {className: 's-none', textContent: 'out of step with what was changed: only the tool works it out'}));
		if (!why.formula && !why.values.length) body.push(make('p', {}, fieldFor(place, name)));
		if (why.formula) body.push(make('p', {}, make('code', {textContent: (isAdjusted(place) ? 'adjusted ' : '= ') + why.formula})));
		if (why.values.length) {
			body.push(make('div', {className: 'scroll'}, make('table', {}, make('caption', {textContent: 'from'}),
				make('tbody', {}, ...why.values.map((v) => make('tr', {},
					make('th', {scope: 'row'}, v.place == null ? make('bdi', {}, ...fold(v.name)) : make('button',
						{type: 'button', onclick: () => explain(v.place, v.name)}, ...fold(v.name))),
					make('td', {textContent: v.place == null ? '' : said(model.shown(v.place))})))))));
		}
		for (const used of why.source) {
			body.push(make('p', {className: 'note', dir: 'auto', textContent: used.signature}),
				...(used.sources ?? []).map((s) => make('p', {className: 'note', dir: 'auto', textContent: 'source: ' + s})));
		}
		document.getElementById('why-head').replaceChildren(make('bdi', {}, ...fold(name)));
		document.getElementById('why-body').replaceChildren(...body);
		document.getElementById('why-back').hidden = trail.length < 2;
		if (!dialog.open) dialog.showModal();
		document.getElementById('why-head').focus();
	};

	// open is what a tap or the enter key does with a value.
	const open = (el) => {
		if (isGiven(el) && isEntry(el)) edit(el);
		else if (!isGiven(el)) { trail.length = 0; explain(Number(el.dataset.place), nameOf(el)); }
	};

	// bringAlive makes values fields, or things to tap.
	const bringAlive = () => {
		for (const [place, list] of elements) {
			for (const el of list) {
				if (el.closest('.ticks, .paper')) continue;
				if (!isGiven(el)) el.classList.add('w');
				if (isEntry(el)) continue;
				if (isGiven(el)) {
					const field = fieldFor(place, nameOf(el));
					if (el.classList.contains('x')) field.classList.add('text');
					one('bdi', el).replaceWith(field);
				} else {
					el.tabIndex = 0;
					el.setAttribute('role', 'button');
					el.setAttribute('aria-haspopup', 'dialog');
				}
			}
		}
		for (const table of all('#content .scroll > table')) {
			const first = one('td[data-place]', table);
			if (!first) continue;
			table.setAttribute('role', 'grid');
			first.tabIndex = 0;
			table.onkeydown = (e) => move(e, table);
			table.onfocusin = (e) => {
				const cell = e.target.closest('td');
				if (!cell) return;
				for (const other of all('td[tabindex]', table)) other.removeAttribute('tabindex');
				cell.tabIndex = 0;
			};
		}
	};

	// move goes from cell to cell of a table with the arrow keys.
	const move = (e, table) => {
		const by = {ArrowLeft: [0, -1], ArrowRight: [0, 1], ArrowUp: [-1, 0], ArrowDown: [1, 0]}[e.key];
		const cell = e.target.closest('td');
		if (!by || !cell || e.target !== cell) return;
		const to = table.rows[cell.parentNode.rowIndex + by[0]]?.cells[cell.cellIndex + by[1]];
		e.preventDefault();
		if (to?.dataset.place === undefined) return;
		for (const other of all('td[tabindex]', table)) other.removeAttribute('tabindex');
		to.tabIndex = 0;
		to.focus();
	};

	// What is kept on this device: nothing, unless the reader wants it.
	const shelf = () => 'gusset ' + (one('#data')?.dataset.fingerprint ?? document.title);
	const stored = (f) => { try { return f(window.localStorage); } catch { return null; } };
	const boxes = () => all('.ticks input'); // the shelf is this sheet's, as it stands: their order is their name
	const keep = () => {
		if (!kept) return;
		kept = {changes: model ? model.changed().map((c) => [c.place, c.text]) : [],
			ticks: boxes().flatMap((box, i) => box.checked ? [i] : [])};
		stored((s) => s.setItem(shelf(), JSON.stringify(kept)));
	};
	const recall = () => {
		kept = stored((s) => JSON.parse(s.getItem(shelf())));
		if (!kept) return;
		document.getElementById('keep').checked = true;
		const ticked = new Set(kept.ticks);
		boxes().forEach((box, i) => { box.checked = ticked.has(i); });
		if (model) setAgain(kept.changes ?? []);
	};

	// setAgain gives values what they were changed to before. What cannot be set any more is left as it is.
	const setAgain = (changes) => {
		const moved = new Set();
		for (const [place, text] of changes) {
			remember(place);
			if (model.set(place, text) === null) for (const p of model.affected) moved.add(p);
		}
		refresh(moved);
	};

	// On paper all that is folded away is open, and a table too wide for it is several.
	const opened = [];
	const forPaper = () => {
		showRest();
		for (const d of all('details:not([open]):not(.group)')) { d.open = true; opened.push(d); }
		for (const wide of all('[data-folds]')) {
			const folds = wide.dataset.folds.split(' ').map(Number);
			const columns = one('thead tr', wide).cells.length;
			[1, ...folds].forEach((from, i) => {
				const to = folds[i] ?? columns;
				const part = wide.cloneNode(true);
				part.removeAttribute('data-folds');
				part.classList.add('part');
				for (const row of all('tr', part)) {
					[...row.cells].forEach((cell, k) => { cell.hidden = k > 0 && (k < from || k >= to); });
				}
				wide.before(part);
			});
			wide.classList.add('folded');
		}
	};
	const forScreen = () => {
		for (const part of all('.part')) part.remove();
		for (const wide of all('.folded')) wide.classList.remove('folded');
		for (const d of opened.splice(0)) d.open = false;
		delete document.body.dataset.only;
	};

	const lines = () => model.lines();
	const tell = (text) => { document.getElementById('said').textContent = text; };
	const copy = async () => {
		try {
			await navigator.clipboard.writeText(lines());
			tell('copied');
		} catch {
			const area = make('textarea', {value: lines(), readOnly: true, rows: 8, ariaLabel: 'the lines'});
			document.getElementById('said').replaceChildren('Copy from here: ', area);
			area.select();
		}
	};
	const save = () => {
		const url = URL.createObjectURL(new Blob([lines()], {type: 'text/plain'}));
		const link = make('a', {href: url, download: document.title.replace(/[^\p{L}\p{N} .-]+/gu, '-') + '.txt'});
		link.click();
		setTimeout(() => URL.revokeObjectURL(url), 1000);
	};

	// begin starts the page, also anew when its numbers were brought in again.
	const begin = async () => {
		await readPage();
		if (model) bringAlive();
		document.getElementById('keeping').hidden = !model && !boxes().length;
		document.getElementById('printing').hidden = false;
		recall();
		if (model) whenIdle(warmUp);
	};

	// warmUp works out some given values once more when there is nothing else to do: a browser compiles what a change does
	// when that is done first, and the reader would wait for it. Nothing is written, since nothing is another.
	const warmUp = () => {
		if (!model) return; // a newer page is being taken in
		model.put([...elements.keys()].filter((place) => model.slots[place].kind === 0).slice(0, 40));
		refresh(model.affected);
	};
	document.addEventListener('click', (e) => {
		const el = e.target.closest('[data-place]');
		if (model && el && el.classList.contains(isGiven(el) ? 'g' : 'w') && !e.target.closest('.field, .refused')) open(el);
		const print = e.target.closest('[data-print]');
		if (print) {
			if (print.dataset.print) document.body.dataset.only = print.dataset.print;
			window.print();
		}
		switch (e.target.id) {
		case 'undo-all': model.undoAll(); refresh(model.affected); break;
		case 'copy': copy(); break;
		case 'save': save(); break;
		case 'why-back': trail.pop(); explain(...trail.pop()); break;
		}
	});
	document.addEventListener('keydown', (e) => {
		const el = e.target;
		if (model && (e.key === 'Enter' || e.key === ' ') && el.dataset?.place && !one('.field', el)) {
			e.preventDefault();
			open(el);
		}
	});
	document.addEventListener('change', (e) => {
		if (e.target.id === 'keep') {
			kept = e.target.checked ? {} : null;
			if (!kept) stored((s) => s.removeItem(shelf()));
		}
		if (e.target.id === 'keep' || e.target.closest('.ticks')) keep();
	});
	window.addEventListener('beforeprint', forPaper);
	window.addEventListener('afterprint', forScreen);
	// A page that is served takes in the newer one, and stays where the reader was.
	const takeIn = async () => {
		const answer = await fetch('/');
		const version = answer.headers.get('Gusset-Version');
		const newer = new DOMParser().parseFromString(await answer.text(), 'text/html');
		for (const script of all('script:not(#data)', newer)) script.remove();
		const changes = model ? model.changed() : [];
		const open = all('details[open]').map((d) => one('summary', d).textContent);
		const at = all('main [id], header').find((el) => el.getBoundingClientRect().bottom > 0);
		const from = at?.getBoundingClientRect().top ?? 0;
		const stay = () => {
			const now = at?.id && document.getElementById(at.id);
			if (now) window.scrollBy(0, now.getBoundingClientRect().top - from);
		};
		document.title = newer.title;
		document.documentElement.className = 'whole';
		document.body.replaceChildren(...newer.body.childNodes);
		stay();
		await begin();
		for (const d of all('details')) if (open.includes(one('summary', d).textContent)) d.open = true;
		if (model && changes.length) {
			const places = new Map([...elements.keys()].map((place) => [model.name(place), place]));
			setAgain(changes.filter(({name}) => places.has(name)).map(({name, text}) => [places.get(name), text]));
		}
		stay();
		return version;
	};
	const follow = () => {
		let shown = null;
		const events = new EventSource('/');
		const bring = async (version) => {
			if (document.activeElement?.classList.contains('field')) { // somebody is typing
				document.activeElement.addEventListener('blur', () => setTimeout(() => bring(version)), {once: true});
				return;
			}
			if (shown !== null && version !== shown) shown = await takeIn();
			else shown = version;
		};
		const report = (text) => { const live = document.getElementById('live'); if (live) live.textContent = text; };
		events.onmessage = (e) => {
			report('Live: each save of the sheet is shown here.');
			bring(e.data);
		};
		events.onerror = () => report('Not connected: gusset watch has ended. These are its last numbers.');
	};
	if ('served' in document.body.dataset) follow();

	// What is on the page is seen before the machine is set up.
	let begun = false;
	const beginOnce = () => { if (!begun) { begun = true; begin(); } };
	requestAnimationFrame(() => setTimeout(beginOnce));
	setTimeout(beginOnce, 250); // where nothing is drawn
})();
