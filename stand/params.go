package stand

import (
	"fmt"
	"math"

	"rowen/crop"
	"rowen/handbook/growth"
	"rowen/quantity"
)

// Stand is a mixture compiled on a soil: read-only, so fields and years share it.
type Stand struct {
	parts []params
	soil  Soil
	curve float64 // runoff curve number
	live  int     // parts that are perennial
}

// params is a crop's growth in the loop's terms; the fields follow
// crop.Definitions.
type params struct {
	name                                   string
	life                                   crop.Life
	legume                                 bool
	share                                  float64 // of ground in an established sward, or of seed against a full rate
	rue, k, sla, start                     float64
	cardinal                               growth.Cardinal
	base, ceiling                          float64
	chillLow, chillHigh                    float64
	efficiency, kc, taw, p                 float64
	emergence                              float64
	rootYoung, rootOld, rootShort          float64
	leafYoung, leafOld, headYoung, headOld float64
	leafFrom, leafTo, leafEnd, lifespan    float64
	mass100, power, leafy, heading         float64
	stage, reserve, reserveStem            float64
	burn, kill                             float64
	na, wetHarm                            float64
	dilute                                 [dilutionSteps]float64 // critical nitrogen, share of DM, by mass
	dayShort, dayLong                      float64
	lodgeHeight, lodgeLoss                 float64
	hardiness, thinning                    float64
	depth                                  float64 // of seed, cm
	cold                                   float64 // soil temperature the seed wants, °C
	ndfLeaf, ndfStem                       [2]float64
	ndfTo, adf                             float64
	ndfd                                   [2]float64
	ash, fat                               float64
	dm                                     [2]float64
	heads, starch                          float64
	ground                                 float64 // pH and drainage, 0..1
	fails                                  bool    // too wet to establish
}

// Compile readies a mixture on a soil.
func Compile(mix crop.Mix, soil Soil) (*Stand, error) {
	if len(mix.Parts) > crop.MaxParts {
		return nil, fmt.Errorf("%d parts; a stand has at most %d", len(mix.Parts), crop.MaxParts)
	}
	s := &Stand{soil: soil, curve: 75}
	for i := range mix.Parts {
		part := &mix.Parts[i]
		if part.Crop == nil {
			return nil, fmt.Errorf("part %d has no crop", i+1)
		}
		p, err := compilePart(part, soil)
		if err != nil {
			return nil, err
		}
		if p.life == crop.Perennial {
			s.live++
			s.curve = 68
		}
		s.parts = append(s.parts, p)
	}
	return s, nil
}

func compilePart(part *crop.Part, soil Soil) (params, error) {
	c := part.Crop
	missing := ""
	get := func(name string) float64 {
		p, ok := c.Growth[name]
		if !ok {
			missing = name
		}
		return p.Value
	}
	p := params{
		name: c.Name, life: c.Life, legume: c.Legume,
		rue: get("rue"), k: get("extinction"), sla: get("sla"), start: get("leaf_area_start"),
		cardinal: growth.Cardinal{Base: get("t_base"), Low: get("t_low"), High: get("t_high"), End: get("t_end")},
		base:     get("tt_base"), ceiling: get("tt_ceiling"), chillLow: get("chill_low"), chillHigh: get("chill_high"),
		efficiency: get("efficiency"), kc: get("kc"), p: get("depletion"), emergence: get("emergence"),
		rootYoung: get("root_young"), rootOld: get("root_old"), leafYoung: get("leaf_young"), leafOld: get("leaf_old"),
		leafFrom: get("leaf_from"), leafTo: get("leaf_to"), leafEnd: get("leaf_end"), lifespan: get("leaf_life"),
		stage: get("stage"), burn: get("burn"), kill: get("kill"),
		na: get("nitrogen_a"), wetHarm: get("wet_harm"), depth: c.Sowing.Depth.Centimetres(), cold: float64(c.Sowing.SoilTemperature),
		ndfLeaf: [2]float64{get("ndf_leaf_young"), get("ndf_leaf_old")}, ndfStem: [2]float64{get("ndf_stem_young"), get("ndf_stem_old")},
		ndfTo: get("ndf_to"), adf: get("adf_ratio"), ndfd: [2]float64{get("ndfd_young"), get("ndfd_old")},
		ash: get("ash"), fat: get("fat"), dm: [2]float64{get("dm_young"), get("dm_old")}, heads: get("heads"), starch: get("starch"),
	}
	for i := range p.dilute {
		p.dilute[i] = growth.CriticalNitrogen(p.na, get("nitrogen_b"), float64(i)*dilutionStep/100) / 100
	}
	if c.Life.Winters() {
		p.hardiness = get("hardiness")
	}
	p.taw = soil.water * min(get("root_depth"), soil.depth)
	if c.Life == crop.Perennial {
		p.rootShort, p.leafy, p.heading, p.reserve = get("root_short_day"), get("height_leafy"), get("height_heading"), get("reserve")
		p.headYoung, p.headOld, p.thinning = get("leaf_heading_young"), get("leaf_heading_old"), get("thinning")
		p.share = part.Share
		if p.share == 0 {
			p.share = 1
		}
	} else {
		p.mass100, p.power, p.reserveStem = get("height_mass"), get("height_power"), get("reserve_stem")
		p.dayShort, p.dayLong = get("day_short"), get("day_long")
		p.lodgeHeight, p.lodgeLoss = get("lodge_height"), get("lodge_loss")
		// Seedlings are in proportion to seed; a stand closes itself above its
		// full rate.
		p.share = 1
		if full := c.Sowing.Drilled; full > 0 && part.Rate > 0 {
			p.share = math.Min(1.15, float64(part.Rate/full))
		}
	}
	if missing != "" {
		return p, fmt.Errorf("crop %q lacks growth parameter %s", c.Name, missing)
	}
	p.ground, p.fails = c.Fit.Growth(soil.pH, soil.drainage)
	return p, nil
}

func dateOf(i int) quantity.Date { return quantity.Date(i) }
