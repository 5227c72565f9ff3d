// Package economics holds the few sums of money that a feed account needs. Money
// is in any one currency.
package economics

// CostPerTon is the cost of a unit of feed: the sum of costs over yield × (1 -
// losses), losses 0 to 1. Say always whether it is harvested, stored or fed.
//
// Source: common practice.
func CostPerTon(cost, yield, losses float64) float64 {
	if got := yield * (1 - losses); got > 0 {
		return cost / got
	}
	return 0
}

// EqualDryMatterPrice is the price at another dry-matter content that pays the
// same for dry matter.
//
// Source: North Dakota State University Extension (read).
func EqualDryMatterPrice(price, dm, other float64) float64 { return price * other / dm }

// PartialBudget is the net gain of a change: added returns and saved costs, less
// added costs and lost returns.
//
// Source: common practice.
func PartialBudget(added, saved, cost, lost float64) float64 { return added + saved - cost - lost }
