// Numbers as they are written in a workshop: read exactly and rounded once, shown to a step. The rules are those of
// package units; fractions are pairs of whole numbers of any length, [above, below].

const PI = [314159265358979323846264338327950288419716939937510582097494459230781640628620899862803482534211706798n,
	10n ** 101n];
const SURE = 15; // digits that a float64 is sure to keep
const VULGAR = {'½': [1n, 2n], '¼': [1n, 4n], '¾': [3n, 4n], '⅛': [1n, 8n], '⅜': [3n, 8n], '⅝': [5n, 8n],
	'⅞': [7n, 8n],
	'⅓': [1n, 3n], '⅔': [2n, 3n], '⅕': [1n, 5n], '⅖': [2n, 5n], '⅗': [3n, 5n], '⅘': [4n, 5n], '⅙': [1n, 6n],
	'⅚': [5n, 6n], '⅒': [1n, 10n]};

const finite = Number.isFinite;
const add = ([a, b], [c, d]) => [a * d + c * b, b * d];
const multiply = ([a, b], [c, d]) => [a * c, b * d];

// toFloat returns the float64 that is nearest to a fraction.
function toFloat([n, d]) {
	if (n === 0n) return 0;
	const size = n < 0n ? -n : n;
	const shift = (size.toString(16).length - d.toString(16).length - 18) * 4; // at least 64 bits are left
	const [above, below] = shift > 0 ? [size, d << BigInt(shift)] : [size << BigInt(-shift), d];
	const whole = above / below;
	const sticky = above % below === 0n ? 0n : 1n; // so that what is just above a half is not taken for it
	const x = Number(whole << 1n | sticky) * 2 ** (shift - 1);
	return n < 0n ? -x : x;
}

// prepareUnit adds to a unit's data what is worked out from it.
function prepareUnit(u) {
	u.ratio = [BigInt(u.num), BigInt(u.den)];
	for (let k = 0; k < (u.pi || 0); k++) u.ratio = multiply(u.ratio, PI);
	for (let k = 0; k > (u.pi || 0); k--) u.ratio = multiply(u.ratio, [PI[1], PI[0]]);
	u.zeroExact = u.reading ? [BigInt(u.zeroNum), BigInt(u.zeroDen)] : [0n, 1n];
	const small = s => Number(s) <= 2 ** 53;
	u.exact = !u.pi && small(u.num) && small(u.den) ? [Number(u.num), Number(u.den)] : null;
	u.isSI = !!u.exact && u.num === u.den && !u.reading;
	return u;
}

const siOf = (x, u) => toFloat(multiply(add(x, u.zeroExact), u.ratio));

// fromSI converts to a unit in float64.
function fromSI(x, u) {
	if (u.reading) return x / u.factor - u.zero;
	return u.exact && Math.abs(x) < 1e250 ? x * u.exact[1] / u.exact[0] : x / u.factor;
}

// A decimal is the number 0.DIGITS times ten to the power exp; zero has no digits.
const decimal = (neg, digits, exp) => {
	digits = digits.replace(/0+$/, '');
	return digits === '' ? {neg: false, digits, exp: 0} : {neg, digits, exp};
};

function scientific(text) {
	const [, sign, digits, exp] = text.match(/^(-?)([\d.]+)e([+-]\d+)$/);
	return decimal(sign === '-', digits.replace('.', ''), Number(exp) + 1);
}

// shortest returns x to so many digits, or to as few as tell it apart when that is 0.
const shortest = (x, digits) => scientific(digits ? x.toExponential(digits - 1) : x.toExponential());

function exactOf(d) {
	const n = BigInt((d.neg ? '-' : '') + (d.digits || '0')), exp = d.exp - d.digits.length;
	return exp >= 0 ? [n * 10n ** BigInt(exp), 1n] : [n, 10n ** BigInt(-exp)];
}

// clean returns the decimal with the fewest digits that is converted back to the same SI value, or a very long one.
function clean(si, u) {
	const x = fromSI(si, u);
	if (u.isSI) return shortest(si, 0);
	for (let digits = u.reading ? 1 : SURE; digits <= SURE && finite(x); digits++) {
		const d = shortest(x, digits);
		if (siOf(exactOf(d), u) === si) return d;
	}
	return shortest(x, 17);
}

// nearly returns si in a unit to the digits that can be relied on, free of the noise of sums.
function nearly(si, u) {
	const x = fromSI(si, u);
	if (Math.abs(x) >= 1e15) return clean(si, u);
	let digits = SURE;
	if (u.reading) digits = Math.min(SURE, Math.ceil(Math.log10(Math.abs(x))) + 11);
	return digits < 1 || x === 0 ? decimal(false, '', 0) : shortest(x, digits);
}

// A shown number is a sign, a whole part and what follows it; or, when it has sci, that.
function join(s) {
	const sign = s.neg ? '-' : '';
	if (s.sci) return sign + s.sci;
	if (!s.frac || s.frac[0] === '.') return sign + s.n + s.frac;
	return s.n === 0n ? sign + s.frac : sign + s.n + '-' + s.frac;
}

// inTwoUnits adds the units of a number in two parts.
function inTwoUnits(s, u) {
	if (!u.big) return join(s);
	const per = BigInt(u.per);
	if (s.sci || s.n < per) return join(s) + ' ' + u.small;
	const big = join({neg: s.neg, n: s.n / per, frac: ''}) + ' ' + u.big;
	const small = {n: s.n % per, frac: s.frac};
	return small.n === 0n && /^[.0]*$/.test(small.frac) ? big : big + ' ' + join(small) + ' ' + u.small;
}

// inFull writes a decimal, with a power of ten when it is at least ten to the power huge or less than that of tiny.
function inFull(d, huge, tiny) {
	if (d.digits === '') return {neg: false, n: 0n, frac: ''};
	if (d.exp > huge || d.exp <= tiny) {
		const e = d.exp - 1, size = String(Math.abs(e)).padStart(2, '0');
		const rest = d.digits.length > 1 ? '.' + d.digits.slice(1) : '';
		return {neg: d.neg, sci: d.digits[0] + rest + 'e' + (e < 0 ? '-' : '+') + size};
	}
	const digits = d.exp < 0 ? '0'.repeat(-d.exp) + d.digits : d.digits.padEnd(d.exp, '0');
	const point = Math.max(d.exp, 0);
	const frac = point < digits.length ? '.' + digits.slice(point) : '';
	return {neg: d.neg, n: BigInt('0' + digits.slice(0, point)), frac};
}

// rounded keeps four significant digits, and whole digits below a thousand million.
function rounded(d) {
	const keep = d.exp > 4 && d.exp <= 9 ? d.exp : 4;
	if (d.digits.length <= keep) return d;
	const n = Number(d.digits.slice(0, keep)) + (d.digits[keep] >= '5' ? 1 : 0);
	return decimal(d.neg, String(n), d.exp + String(n).length - keep);
}

// readStep reads a step: 1/16, 0.1, 5.
function readStep(text) {
	if (!text) return null;
	const [above, below] = text.split('/');
	if (below) return {num: 1n, den: BigInt(below), ruler: true};
	const places = (above.split('.')[1] || '').length;
	return {num: BigInt(above.replace('.', '')), den: 10n ** BigInt(places), places};
}

function gcd(a, b) {
	while (b) [a, b] = [b, a % b];
	return a;
}

// stepped rounds a decimal to a step; null when it is too large for it.
function stepped(d, step) {
	if (d.exp > 28) return null;
	let [n, m] = d.exp < -28 ? [0n, 1n] : exactOf(d);
	if (n < 0n) n = -n;
	const count = (2n * n * step.den + m * step.num) / (2n * m * step.num);
	if (count > 10n ** 15n) return null;
	const neg = d.neg && count > 0n;
	if (step.ruler) {
		const rest = count % step.den, by = gcd(rest, step.den);
		return {neg, n: count / step.den, frac: rest ? rest / by + '/' + step.den / by : ''};
	}
	const total = count * step.num;
	if (total >= 1n << 64n) return null;
	const tail = String(total % step.den).padStart(step.places, '0');
	return {neg, n: total / step.den, frac: step.places ? '.' + tail : ''};
}

// showNumber returns si in a unit for people, without the unit; exactNumber with as many digits as it takes, where
// that are no more than 15.
function showNumber(si, u, step) {
	const d = nearly(si, u);
	const s = step && stepped(d, step) || inFull(rounded(d), 9, -4);
	return inTwoUnits(s, u);
}
const exactNumber = (si, u) => inTwoUnits(inFull(clean(si, u), 15, -6), u);

// readNumber reads a workshop number: {si, unit, hasUnit, amount}, or {error}. A number without a unit is in asked;
// unitOf finds a unit by its name. Amount is the number as it was typed; empty for one in two units.
function readNumber(typed, asked, unitOf) {
	const text = typed.trim();
	const error = message => ({error: message}), either = u => `this could be ${u.small} or ${u.big}: write one of them`;
	if (text === '') return error('a number is missing');
	if (text.length > 200) return error('the number is too long');
	const sign = text.match(/^[-+–—−‒–‑]\s*/);
	const neg = !!sign && sign[0][0] !== '+';
	const first = readAmount(sign ? text.slice(sign[0].length) : text);
	if (first.error) return first;
	let x = first.x, unit = asked, rest = first.rest.trimStart();
	let amount = text.slice(sign ? sign[0].length : 0, text.length - rest.length).trim();
	if (rest !== '') {
		const pair = rest.match(/^(ft|lb|min)(?![A-Za-z])\s*(?=[\d.½¼¾⅛⅜⅝⅞⅓⅔⅕⅖⅗⅘⅙⅚⅒])/);
		if (pair) {
			const small = {ft: 'in', lb: 'oz', min: 's'}[pair[1]], both = unitOf(pair[1] + ' ' + small);
			if (!both) return error(`this page does not know the unit ${pair[1]}`);
			const second = readAmount(rest.slice(pair[0].length));
			if (second.error) return second;
			if (second.rest.trim() !== small) return error(`${pair[1]} is followed by ${small}`);
			if (x[0] % x[1] !== 0n) return error(`the number of ${pair[1]} must be whole when ${small} follow`);
			const per = BigInt(both.per);
			if (second.x[0] >= per * second.x[1]) return error(`that many ${small} are 1 ${pair[1]} or more`);
			x = add(multiply(x, [per, 1n]), second.x);
			unit = both;
			amount = '';
		} else {
			unit = unitOf(rest.replace(/\s+/g, ' '));
			if (unit && unit.big) return error(either(unit));
		}
		if (!unit) return error(`this page does not know the unit ${rest}`);
	} else if (unit.big && x[0] !== 0n) {
		return error(either(unit));
	}
	if (neg) x = [-x[0], x[1]];
	const si = siOf(x, unit);
	const size = Math.abs(si);
	if (!(size <= 1e300) || size < 1e-300 && x[0] !== 0n && !unit.reading) return error('the number is out of all range');
	if (unit.reading && si < 0) return error('this is below absolute zero');
	return {si, unit, hasUnit: rest !== '', amount};
}

const ODD = 'this cannot be read as one number';

// readAmount reads a number without sign and unit: {x, rest}, or {error}.
function readAmount(text) {
	const error = message => ({error: message});
	if (VULGAR[text[0]]) return {x: VULGAR[text[0]], rest: text.slice(1)};
	if (/^\d+,\d/.test(text)) return error('the decimal mark is a point');
	let m = text.match(/^(\d*\.\d+|\d+(?=[eE][+-]?\d))(?:[eE]([+-]?\d+))?/);
	if (m) {
		if (Math.abs(Number(m[2] || 0)) > 400) return error('the number is out of all range');
		const [whole, tail = ''] = m[1].split('.');
		const rest = text.slice(m[0].length), exp = Number(m[2] || 0) - tail.length;
		if (/^\s*([/⁄]\s*\d|\.\d)/.test(rest)) return error(ODD);
		const n = BigInt(whole + tail);
		return {x: exp >= 0 ? [n * 10n ** BigInt(exp), 1n] : [n, 10n ** BigInt(-exp)], rest};
	}
	m = text.match(/^(\d+)[/⁄](\d+)/);
	const odd = (above, below, rest) => above.length > SURE || below.length > SURE || !Number(below) || rest[0] === '/';
	if (m) {
		const rest = text.slice(m[0].length);
		return odd(m[1], m[2], rest) ? error(ODD) : {x: [BigInt(m[1]), BigInt(m[2])], rest};
	}
	m = text.match(/^\d+/);
	if (!m) return error(`${text.split(/\s/)[0] || 'this'} is not a number`);
	const whole = [BigInt(m[0]), 1n];
	let rest = text.slice(m[0].length);
	const one = rest.match(/^(\s*-?\s*)([½¼¾⅛⅜⅝⅞⅓⅔⅕⅖⅗⅘⅙⅚⅒])/);
	if (one) return {x: add(whole, VULGAR[one[2]]), rest: rest.slice(one[0].length)};
	m = rest.match(/^(\s*-\s*|\s+)(\d+)[/⁄](\d+)/);
	if (m) {
		if (m[1].includes('-') && m[1] !== '-') return error(ODD);
		rest = rest.slice(m[0].length);
		if (odd(m[2], m[3], rest) || BigInt(m[2]) >= BigInt(m[3])) return error(ODD);
		return {x: add(whole, [BigInt(m[2]), BigInt(m[3])]), rest};
	}
	if (/^\s*-|^[.,_]|^\s*[/⁄]\s*\d|^\s+\d/.test(rest)) return error(ODD);
	return {x: whole, rest};
}
