package web

import (
	"strings"

	"rowen/quantity"
)

// systems are the units of document values that have a counterpart in the other system.
var systems = map[string]quantity.System{
	"lb": quantity.US, "ton": quantity.US, "ac": quantity.US, "in": quantity.US, "ft": quantity.US, "mi": quantity.US, "lb/d": quantity.US, "lb/ac": quantity.US, "ton/ac": quantity.US,
	"kg": quantity.Metric, "t": quantity.Metric, "ha": quantity.Metric, "cm": quantity.Metric, "m": quantity.Metric, "mm": quantity.Metric, "km": quantity.Metric, "kg/d": quantity.Metric, "kg/ha": quantity.Metric, "t/ha": quantity.Metric,
}

// turners turn a value into a system's units; each refuses what is not of its kind.
var turners = []func(string, quantity.System) string{
	turned(quantity.ParseMass), turned(quantity.ParseArea), turned(quantity.ParseLength), turned(quantity.ParseMassPerTime), turned(quantity.ParseMassPerArea),
}

func turned[T interface {
	In(quantity.System) string
}](parse func(string) (T, error)) func(string, quantity.System) string {
	return func(text string, u quantity.System) string {
		v, err := parse(text)
		if err != nil {
			return ""
		}
		return v.In(u)
	}
}

// mine is a document's value in the units of whoever looks at it; empty where it stands
// in them already, or is no quantity. The value itself stays as it was written.
func mine(text string, u quantity.System) string {
	_, unit, ok := strings.Cut(strings.TrimSpace(text), " ")
	if own, known := systems[unit]; !ok || !known || own == u {
		return ""
	}
	for _, read := range turners {
		if own := read(text, u); own != "" {
			return own
		}
	}
	return ""
}
