package hazard

// ruleIndex is a rule's place in the table and in Verdict.Reasons.
type ruleIndex uint8

// The rules of the daily gates.
const (
	shortSorghum ruleIndex = iota
	middlingSorghum
	shortSudangrass
	middlingSudangrass
	frostNight
	frostWait
	frostWatch
	frostRegrowth
	droughtStunted
	droughtStressed
	droughtRain
	heavyNitrogen
	herbicide
	storedStressed
	storedWait
	hayStressed
	horses
	prussicLab
	prussicLabDoubtful
	missingPrussic
	nitrateDrought
	nitrateRain
	nitrateNitrogen
	nitrateFrost
	nitrateStored
	nitrateLab
	nitrateLabCaution
	missingNitrate
	lotCarcass
	lotSour
	lotSourStrict
	lotWet
	lotWetStrict
	lotSoiled
	lotPunctured
	missingLot
	dailyCount
)

// The rules of the gates that a person on the spot is asked for.
const (
	prussicNone = dailyCount + iota
	prussicMixture
	youngLeaf
	frostForecast
	frostNotSeen
	frostKilled
	frostBurnt
	droughtRainLong
	hungryPrussic
	lotPrussicTest
	resultNoBasis
	resultOther
	resultStale
	resultDried
	prussicWet
	prussicWetDoubtful

	nitrateBoth
	nitrateCloud
	nitrateWeeds
	nitrateHungry
	nitrateHigh
	nitrateSeldom
	nitrateSeldomStressed
	nitrateResultOld

	bloatShare
	bloatFrost
	bloatHungry
	bloatDew
	bloatTannin
	bloatNone
	tetanyLush
	tetanyFed
	tetanyDressed
	tetanyMagnesium
	tetanyRatio
	tetanyNone

	brassicaShare
	brassicaMilk
	brassicaAdapt
	brassicaHungry
	brassicaGreen
	brassicaFlower
	brassicaRoughage
	brassicaSulphur
	brassicaGoitre
	brassicaHorses
	brassicaWatch

	ergotLeaf
	ergotLook
	ergotFound
	ergotClass
	ergotTrace
	lightUnknown
	lightBuckwheat
	lightBuckwheatSome
	lightAlsike
	lightKlein
	lightRape
	lightSwitchgrass

	groundStanding
	groundWet
	groundTread
	groundMachine
	groundRain
	groundRainPoor
	readyShort
	readyTall
	readyMature
	readyResidual
	readyRest
	rootsUntested
	rootsPulled
	rootsEarly
	lateRest
	lateKilled
	productNone
	productLabel
	productWait

	siloWait
	siloSpace
	siloNear
	siloAir
	siloAlone
	hayProbe
	hayWarm
	hayTwice
	hayMove
	hayFire
	hayPockets
	hayNormal
	balerRunning
	balerAlone
	balerSlope

	ruleCount
)
