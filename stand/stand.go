// Package stand grows a stand on a field day by day: one species or a mixture
// of up to four, annual or perennial, with its soil water, and tells height,
// mass, stage, moisture and quality, and what a cut or a grazing takes. It
// knows crops and weather; it may not know farms, plans, animals or money.
//
// The daily step allocates nothing. State is a value without pointers:
// assignment is the snapshot.
package stand
