package desk

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"runtime"

	"rowen/internal/crew"
	"rowen/internal/document"
	"rowen/internal/files"
	"rowen/internal/report"
	"rowen/quantity"
)

// ClientsDay is the list over a folder's farms. Problems are those of farms that were
// left out; a face shows the rest first.
type ClientsDay struct {
	Page     *report.Clients
	Problems document.Problems
}

// IsFolder tells whether a path is a folder of farm documents, not one document.
func IsFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

// TodayFolder reads every farm document of a folder, each with the journal beside it,
// and ranks what wants a word today. It asks no consent: each message is for the farm
// that it is about. The request's Farm is the folder. A farm with problems is left
// out with its problems told, and the others go on.
func TodayFolder(ctx context.Context, r TodayRequest) (*ClientsDay, error) {
	if _, err := Catalogue(r.Catalogue); err != nil {
		return nil, err // it would be every farm's problem
	}
	on := ThisDay()
	if r.Date != "" {
		var err error
		if on, err = quantity.ParseDate(r.Date); err != nil {
			return nil, fmt.Errorf("--date %w", err)
		}
	}
	if _, err := pageUnits(r.Units, nil); err != nil {
		return nil, err
	}
	paths, err := documents(r.Farm)
	if err != nil {
		return nil, err
	}
	workers := r.Workers
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	read, problems := make([]*report.FarmClient, len(paths)), make([]error, len(paths))
	g, ctx := crew.Of(ctx, workers)
	for i, path := range paths {
		g.Go(func() error {
			one := r
			one.Farm, one.Workers = path, max(1, workers/len(paths))
			problems[i] = crew.Safely(func() (err error) {
				read[i], err = clientOf(ctx, one)
				return err
			})
			return ctx.Err()
		})
	}
	if err := g.Wait(); err != nil {
		return nil, err
	}
	left := &Outreach{}
	var whole []*report.FarmClient
	broken := 0
	for i := range paths {
		if problems[i] != nil {
			left.problem(paths[i], problems[i])
			broken++
			continue
		}
		whole = append(whole, read[i])
	}
	return &ClientsDay{report.BuildClients(on, whole, broken), left.Problems}, nil
}

func clientOf(ctx context.Context, r TodayRequest) (*report.FarmClient, error) {
	d, err := readDay(ctx, r)
	if err != nil {
		return nil, err
	}
	return report.BuildFarmClient(d.farm, d.day, d.stock, d.request.Forecast, d.notices), nil
}

// SaveCalendar writes a season's moving dates into an iCalendar file, whole or not at
// all.
func SaveCalendar(path string, c *report.SeasonCalendar) error {
	var b bytes.Buffer
	if err := report.WriteSeasonCalendar(&b, c); err != nil {
		return err
	}
	return files.Write(filepath.Dir(path), map[string][]byte{filepath.Base(path): b.Bytes()})
}
