// Package pack finds how many whole sheets or sticks of stock it takes to cut pieces from, and where each piece lies.
// The trade calls this cutting stock, mathematics bin packing: in two dimensions for sheets, in one for sticks.
//
//	plan, fault := pack.Cut(pack.Job{
//		Pieces: []pack.Piece{{Long: 10, Wide: 1.5, Count: 8}}, // ribs
//		Long:   36, Wide: 3, Kerf: 1.0 / 32,
//	})
//
// # What is allowed
//
// Long is along the grain and Wide across it, of the stock and of each piece. All stock is of one size; a stick is a
// stock as wide as its pieces. A kerf lies between pieces and nowhere else: a piece as long as the stock needs no cut.
// Nothing is joined.
//
// A piece is turned, so that its grain runs across the stock's, only where it may be, and only if it does not fit
// otherwise or if turning saves a stock. Then more pieces may be turned than need be.
//
// Pieces are rectangles with their sides along those of the stock, but the cuts need not run from edge to edge: with a
// knife any piece can be cut out from anywhere, and the fewest stocks are what counts. Straight cuts from edge to edge
// (guillotine cuts) are easier, though, and the only ones for a saw. So what a stock holds is placed with straight cuts
// if a way is found, and Stock.Straight says whether one was.
//
// # What is promised
//
// The number of stocks is never above that of plain first-fit decreasing. Plan.Bound is a number that it cannot be
// below, with any cuts. Where the two are the same, the number is the least, and Plan.Proven says so; otherwise there
// may be a better plan that was not found, or none and no proof of it.
//
// Searching is counted in steps and ends when they are spent; more of them find better plans as a rule, not always.
// The bound, the first fit and the offcuts are made in any case and not counted. Nothing depends on time, chance or the
// processor: the same job gives the same plan.
//
// # How lengths are compared
//
// Lengths are in any one unit. Each is grown by a kerf and rounded to a grid of 2^40 steps to the stock with its kerf,
// and from there on all is done in whole numbers, so that no order of adding up can change what fits. What may be on a
// stock is larger than it by a thousand-millionth, more than rounding comes to: pieces that are as long as the stock in
// all always fit, so do 36 in into 914.4 mm whatever the last digit has become, and pieces that are two
// thousand-millionths too long never do. Nobody cuts as finely as that. In the plan lengths are the job's own again;
// rows that are too long by so little stick out by so little.
//
// # How it is found
//
// A bound from below comes from what pieces must take up (bound.go). First fit gives a plan to begin with (build.go).
// Where no two pieces have room beside each other, a stock is a row of pieces and the job has one dimension: plans come
// from giving pieces prices (prices.go), then a search tries all fillings of one stick after the other (sticks.go).
// Otherwise pieces are placed one by one into the free rectangles of sheets by several orders and rules (build.go);
// then, for few pieces, all ways to share them out are tried (share.go), and all ways to put them onto one sheet
// (corners.go); last some sheets are cleared and filled again, over and over (improve.go). A search for so many stocks
// that ends without a plan raises the bound.
package pack
