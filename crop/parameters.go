package crop

// Definition says what a growth parameter means and how far it may go at all.
type Definition struct {
	Name, Unit, Meaning string
	Low, High           float64 // a value outside is a mistake
	Only                string  // "annual" (the winter annuals too), "perennial" or "wintering"; empty: all
}

// For tells whether crops of a life have the parameter.
func (d *Definition) For(l Life) bool {
	switch d.Only {
	case "annual":
		return l != Perennial
	case "perennial":
		return l == Perennial
	case "wintering":
		return l.Winters()
	}
	return true
}

// Definitions are the growth parameters, in the order in which they are shown.
// Every crop gives all of those without a default; stand compiles them.
var Definitions = []Definition{
	{"rue", "g/MJ", "dry matter, roots counted, per intercepted photosynthetic radiation", 0.5, 6, ""},
	{"extinction", "-", "extinction coefficient k of the canopy", 0.2, 1.1, ""},
	{"sla", "m²/g", "leaf area per leaf mass", 0.005, 0.06, ""},
	{"leaf_area_start", "m²/m²", "leaf area index at emergence, or a sward's at the start of spring", 0.001, 2, ""},
	{"t_base", "°C", "growth begins", -5, 20, ""},
	{"t_low", "°C", "growth is best from", 5, 35, ""},
	{"t_high", "°C", "growth is best up to", 10, 40, ""},
	{"t_end", "°C", "growth ends", 20, 55, ""},
	{"tt_base", "°C", "base of thermal time", -2, 15, ""},
	{"tt_ceiling", "°C", "ceiling of thermal time", 15, 45, ""},
	{"chill_low", "°C", "night minimum at and below which growth stands still", -30, 10, ""},
	{"chill_high", "°C", "night minimum from which nights do no harm", -29, 15, ""},
	{"efficiency", "Pa", "dry matter per water transpired times vapour pressure deficit, K", 1, 16, ""},
	{"kc", "-", "crop coefficient at full cover", 0.5, 1.4, ""},
	{"root_depth", "m", "rooting depth of the grown stand", 0.2, 3, ""},
	{"depletion", "-", "p, share of available water taken before stress, at 5 mm/d", 0.2, 0.8, ""},
	{"emergence", "°Cd", "thermal time from sowing to emergence in moist ground", 0, 300, ""},
	{"root_young", "-", "share of growth to roots at emergence; of a perennial while it heads", 0, 0.8, ""},
	{"root_old", "-", "share of growth to roots when grown; of a perennial in leaf", 0, 0.8, ""},
	{"root_short_day", "-", "share of growth to roots of a perennial in the shortening days of autumn", 0, 0.9, "perennial"},
	{"leaf_young", "-", "leaf share of top growth when young", 0.2, 1, ""},
	{"leaf_old", "-", "leaf share of top growth when old", 0, 1, ""},
	{"leaf_heading_young", "-", "leaf share of top growth when heading begins", 0.1, 1, "perennial"},
	{"leaf_heading_old", "-", "leaf share of top growth when headed", 0, 1, "perennial"},
	{"leaf_from", "°Cd", "leaf share begins to fall", 0, 2000, ""},
	{"leaf_to", "°Cd", "leaf share has fallen", 1, 3000, ""},
	{"leaf_end", "°Cd", "no more leaf is made", 1, 9999, ""},
	{"leaf_life", "°Cd", "life of a leaf", 100, 3000, ""},
	{"height_mass", "g/m²", "top dry matter at 100 cm", 50, 3000, "annual"},
	{"height_power", "-", "height goes with mass to this power", 0.3, 1.5, "annual"},
	{"height_leafy", "g/m²/cm", "top growth per cm of a leafy sward", 1, 40, "perennial"},
	{"height_heading", "g/m²/cm", "top growth per cm of a heading sward", 1, 40, "perennial"},
	{"stage", "°Cd", "thermal time to stage 1: heading, or soft dough where grain makes the feed", 100, 3000, ""},
	{"day_short", "h", "daylength at and below which a winter annual's development stands still; 0 where it is the same", 0, 16, "annual"},
	{"day_long", "h", "daylength from which it is at its full pace", 0, 18, "annual"},
	{"lodge_height", "cm", "height from which a storm lays the stand; 0 it stands", 0, 400, "annual"},
	{"lodge_loss", "-", "share of a fully laid stand that is not harvested", 0, 0.8, "annual"},
	{"hardiness", "°C", "temperature at the hardened crown that kills half of the plants", -35, -2, "wintering"},
	{"thinning", "-", "share of plants lost in a year of a stand's own ageing", 0, 0.6, "perennial"},
	{"reserve", "g/m²", "reserves of a stand with all its plants", 0, 400, "perennial"},
	{"reserve_stem", "-", "share of stubble stem that feeds regrowth", 0, 0.5, "annual"},
	{"burn", "°C", "leaf begins to burn", -30, 5, ""},
	{"kill", "°C", "stand is killed; a perennial's leaf", -40, 2, ""},
	{"nitrogen_a", "%", "critical nitrogen of a canopy of 1 t/ha", 2, 6, ""},
	{"nitrogen_b", "-", "dilution exponent", 0.1, 0.6, ""},
	{"wet_harm", "-", "share of growth lost on ground full of water", 0, 1, ""},
	{"ndf_leaf_young", "%", "NDF of young leaf", 10, 80, ""},
	{"ndf_leaf_old", "%", "NDF of old leaf", 10, 80, ""},
	{"ndf_stem_young", "%", "NDF of young stem", 10, 85, ""},
	{"ndf_stem_old", "%", "NDF of old stem", 10, 85, ""},
	{"ndf_to", "°Cd", "thermal time over which fibre ages", 50, 3000, ""},
	{"adf_ratio", "-", "ADF over NDF", 0.4, 0.9, ""},
	{"ndfd_young", "%", "48-h NDF digestibility of young growth", 30, 95, ""},
	{"ndfd_old", "%", "48-h NDF digestibility of old growth", 20, 90, ""},
	{"ash", "%", "ash of dry matter", 3, 25, ""},
	{"fat", "%", "ether extract of dry matter", 1, 6, ""},
	{"dm_young", "-", "dry matter of fresh when young", 0.06, 0.4, ""},
	{"dm_old", "-", "dry matter of fresh at stage 1", 0.1, 0.6, ""},
	{"heads", "-", "share of heads and grain, or of bulbs, in dry matter at stage 1, where they make the feed", 0, 0.7, ""},
	{"starch", "%", "starch of those heads", 0, 75, ""},
}

// definition finds a parameter's definition.
func definition(name string) *Definition {
	for i := range Definitions {
		if Definitions[i].Name == name {
			return &Definitions[i]
		}
	}
	return nil
}
