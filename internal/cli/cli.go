// Package cli is Rowen's face in a terminal: it reads flags, calls the desk and
// writes what the report made. It may not know how a figure is computed or drawn.
package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os/signal"
	"strings"
	"syscall"

	"github.com/alecthomas/kong"

	"rowen/internal/crew"
	"rowen/internal/desk"
	"rowen/internal/document"
	"rowen/weather"
)

// Exit codes.
const (
	OK       = 0 // done
	Problem  = 1 // something is wrong with an input; nothing was written
	Usage    = 2 // the command line is wrong
	Internal = 3 // a defect of Rowen's; please report it
	Stopped  = 4 // interrupted; nothing was written
)

const exitHelp = `Exit codes: 0 done; 1 something is wrong with an input, nothing was written; 2 the command line is wrong; 3 a defect of Rowen's; 4 interrupted.`

// commands is the command line.
type commands struct {
	Plan     planCommand     `cmd:"" help:"Plan a farm's season over its weather years."`
	Suggest  suggestCommand  `cmd:"" help:"Suggest plans that close the gaps at least cost and risk, proven and explained."`
	Today    todayCommand    `cmd:"" help:"Read a farm as it stands: what wants a decision now, gates, stores."`
	Mow      mowCommand      `cmd:"" help:"Choose the day to mow: drying time, chance of rain, losses, bales."`
	Record   recordCommand   `cmd:"" help:"Write down what was done or seen, in plain words."`
	Review   reviewCommand   `cmd:"" help:"Hold a season's plan against what was written down, field by field."`
	Serve    serveCommand    `cmd:"" help:"Open the office's book in the browser, on this machine alone."`
	Explain  explainCommand  `cmd:"" help:"Open a figure of a plan: formula, inputs, sources, made again."`
	Check    checkCommand    `cmd:"" help:"Check a farm document; every problem at once."`
	Book     bookCommand     `cmd:"" help:"Keep the office's book: back it up, put it back, write it out as plain files."`
	Start    startCommand    `cmd:"" help:"Begin a farm document from eight numbers."`
	Grow     growCommand     `cmd:"" help:"Grow one stand alone over weather years."`
	Compare  compareCommand  `cmd:"" help:"Set stands side by side for a place over its years."`
	Rank     rankCommand     `cmd:"" help:"Rank the stands of the catalogue for a field: by rule, then by yield."`
	Bulletin bulletinCommand `cmd:"" help:"Make the week's bulletin and visit sheets over a folder of farms."`
	Visit    visitCommand    `cmd:"" help:"Make one farm's visit sheet: a page to print."`
	Weather  weatherCommand  `cmd:"" help:"Look at a station: freezes, warmth, rain, gaps, traps."`
	Crops    cropsCommand    `cmd:"" help:"List the catalogue, or show one crop with its sources."`
	Hazards  hazardsCommand  `cmd:"" help:"Print the safety rules on one page, each with its source."`
	Plots    plotsCommand    `cmd:"" help:"Lay out a field plot trial, or work its harvest sheet into yields."`
	Validate validateCommand `cmd:"" help:"Hold the catalogue against published trials."`
	Words    wordsCommand    `cmd:"" help:"Print every word that the pages say, as the file from which another language is made."`
	Version  versionCommand  `cmd:"" help:"Print the version."`
}

// officeFlag is shared by the commands that read the catalogue.
type officeFlag struct {
	Catalogue []string `help:"Office files of catalogue corrections." placeholder:"FILE"`
}

// stationFlags are shared by the commands that look at a station's weather.
type stationFlags struct {
	Neighbour string  `help:"A station that reads at midnight, to put morning readings right." placeholder:"FILE"`
	Latitude  float64 `help:"Where the weather was measured, if the file does not say." placeholder:"DEG"`
}

func (s stationFlags) at(file string) desk.Station {
	return desk.Station{File: file, Neighbour: s.Neighbour, Latitude: s.Latitude}
}

// face is where a command reads and writes.
type face struct {
	ctx      context.Context
	in       io.Reader
	out, err io.Writer
}

// progress writes a line about a long run beside the output.
func (f *face) progress(text string) { _, _ = fmt.Fprintln(f.err, "rowen: "+text) }

// stop carries an exit code out of kong.
type stop int

// Run is the whole program: arguments in, an exit code out.
func Run(args []string, stdin io.Reader, stdout, stderr io.Writer) (code int) {
	ctx, cancel := signal.NotifyContext(context.Background(), syscall.SIGINT, syscall.SIGTERM)
	defer cancel()
	defer func() {
		switch r := recover().(type) {
		case nil:
		case stop:
			code = int(r)
		default:
			_, _ = fmt.Fprintf(stderr, "rowen: a defect: %v; please report it with the command and its files\n", r)
			code = Internal
		}
	}()
	var c commands
	parser, err := kong.New(&c,
		kong.Name("rowen"),
		kong.Description("Rowen plans a farm's forages: the right field at the right week, so that the herd eats home-grown feed all year, safely, in bad years too.\n\n"+exitHelp),
		kong.Writers(stdout, stderr),
		kong.Exit(func(code int) { panic(stop(code)) }),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true}),
		kong.Vars{"uses": "graze, wrap, chop, hay or silage"},
	)
	if err != nil {
		panic(err)
	}
	if len(args) == 0 {
		args = []string{"--help"}
	}
	k, err := parser.Parse(args)
	if err != nil {
		_, _ = fmt.Fprintf(stderr, "rowen: %v\nrowen --help shows what can be written.\n", err)
		return Usage
	}
	if err := k.Run(&face{ctx, stdin, stdout, stderr}); err != nil {
		return tell(stderr, err)
	}
	return OK
}

// tell writes an error as a person can act on it and gives its exit code.
func tell(w io.Writer, err error) int {
	var problems document.Problems
	var defect *crew.Defect
	switch {
	case errors.As(err, &defect):
		_, _ = fmt.Fprintf(w, "rowen: %v; please report it with the command and its files\n%s", err, defect.Stack)
		return Internal
	case errors.Is(err, context.Canceled):
		_, _ = fmt.Fprintln(w, "rowen: stopped; nothing was written")
		return Stopped
	case errors.As(err, &problems):
		_, _ = fmt.Fprintln(w, problems.Error())
		if len(problems) > 1 {
			_, _ = fmt.Fprintf(w, "%d problems; nothing was written\n", len(problems))
		}
		return Problem
	case errors.Is(err, weather.ErrFormat):
		_, _ = fmt.Fprintln(w, err)
		return Problem
	}
	_, _ = fmt.Fprintln(w, "rowen: "+err.Error())
	return Problem
}

// Examples are the command lines that help shows; a test runs each of them from
// the project's folder.
var Examples = map[string][]string{
	"plan":     {"rowen plan examples/dairy.toml --out out", "rowen plan examples/sheep.toml --years 2001-2010 --units metric", "rowen plan examples/beef.toml --json"},
	"suggest":  {"rowen suggest examples/dairy.toml --years 2011-2020 --brief --plans 2", `rowen suggest examples/beef.toml --years 2011-2020 --brief --plans 1 --hold "Road Field=pearl-millet" --avoid corn-silage --json`, `rowen suggest examples/sheep.toml --years 2013-2020 --risk 0.7 --plans 1 --what-if "forage +25 %" --out out`},
	"explain":  {"rowen explain out/plan.json", "rowen explain out/plan.json gap.bad"},
	"today":    {"rowen today examples/dairy.toml --date 2025-07-10", "rowen today examples/dairy.toml --date 2025-07-10 --json --no-stock", "rowen today examples --date 2025-07-10", "rowen today examples/dairy.toml --date 2025-07-10 --calendar out/season.ics"},
	"review":   {"rowen review examples/dairy.toml --date 2025-07-10", "rowen review examples/sheep.toml --date 2025-10-31 --json"},
	"mow":      {`rowen mow examples/dairy.toml "Upper Meadow" --date 2025-06-02 --conditioned`, `rowen mow examples/dairy.toml "Lower Meadow" --use hay --swath 0.9 --conditioned --date 2025-06-10 --units metric`},
	"record":   {`rowen record examples/dairy.toml "height 7 in 8 in 6 in on Barn Pasture 8 July" --journal out/dairy.journal --date 2025-07-10`, `rowen record examples/dairy.toml "cut Mill Flat wrap 36 bales 980 lb 52 % stubble 4 in" --journal out/dairy.journal --date 2025-07-10 --sure`, "rowen record examples/dairy.toml --list", "rowen record examples/dairy.toml --export out/dairy.csv", "rowen record examples/dairy.toml --import out/dairy.csv --journal out/office.journal --date 2025-07-10", "rowen record examples/dairy.toml --merge out/dairy.journal --journal out/office.journal"},
	"check":    {"rowen check examples/dairy.toml"},
	"book":     {"rowen book import examples/dairy.toml --book out/office.book", "rowen book check --book out/office.book", "rowen book backup out/backup.book --book out/office.book", "rowen book restore out/backup.book --book out/office.book", "rowen book export out/plain --book out/office.book", "rowen book import out/plain --book out/again.book"},
	"start":    {`rowen start --place 43.05,-74.48 --animals 70 --milk "48 lb/d" --sward "180 ac" --cropland "40 ac" --stored "250 ton" --turnout "5 May" --first-year 2027`},
	"grow":     {"rowen grow pearl-millet --years 2016-2020", `rowen grow sorghum-sudangrass --sow 2017-06-05 --cut 2017-07-20,2017-08-30 --soil "loam, well drained, pH 6.2"`, "rowen grow corn-silage --years 2018 --csv"},
	"weather":  {"rowen weather", "rowen weather --normals", "rowen weather --generate 40 --seed 7"},
	"crops":    {"rowen crops", "rowen crops pearl-millet", "rowen crops forage-sorghum --parameters"},
	"compare":  {"rowen compare sorghum-sudangrass pearl-millet teff", `rowen compare corn-silage forage-sorghum --soil "sandy loam, well drained, pH 6" --years 2001-2020`, "rowen compare orchardgrass:hay alfalfa:hay alfalfa-grass:wrap --units metric"},
	"rank":     {`rowen rank examples/dairy.toml "Gravel Bank" --for wrap`, `rowen rank --soil "silt loam, poorly drained, pH 5.6" --units metric`, "rowen rank examples/beef.toml --all --years 2001-2010 --json"},
	"bulletin": {"rowen bulletin examples --on 2025-06-10 --out out", "rowen bulletin examples --units metric"},
	"visit":    {"rowen visit examples/dairy.toml --on 2025-06-10 --out out"},
	"hazards":  {"rowen hazards", "rowen hazards prussic"},
	"plots":    {`rowen plots --design block --treatment teff --treatment "pearl millet" --treatment sudangrass --blocks 4 --plot "5 ft x 20 ft" --seed 7 --out out`, `rowen plots --design split --treatment "early cut" --treatment "late cut" --second "0 lb N" --second "50 lb N" --blocks 3 --alley "6 ft" --guards 1 --seed 7`, "rowen plots --harvest examples/harvest.csv"},
	"validate": {"rowen validate --data ../shared/data"},
	"serve":    {"rowen serve", "rowen serve --book office.book --listen 127.0.0.1:8400 --no-open", "rowen serve --language nederlands.toml"},
	"words":    {"rowen words"},
	"version":  {"rowen version"},
}

func examples(command string) string {
	return "Examples:\n  " + strings.Join(Examples[command], "\n  ") + "\n\n" + exitHelp
}

type versionCommand struct{}

// Help shows examples.
func (versionCommand) Help() string { return examples("version") }

// Run prints the version.
func (versionCommand) Run(f *face) error {
	_, err := fmt.Fprintln(f.out, "rowen "+desk.Version)
	return err
}
