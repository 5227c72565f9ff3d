package desk

import (
	"context"

	"rowen/farm"
	"rowen/internal/report"
	"rowen/say"
	"rowen/steer"
)

// Review holds a farm's plan against what its journal tells of the feed year that the
// day lies in, up to the day.
func Review(ctx context.Context, r TodayRequest) (*report.Review, *farm.Farm, error) {
	d, entries, err := gather(r)
	if err != nil {
		return nil, nil, err
	}
	v, err := steer.ReviewOf(ctx, d.request)
	if err != nil {
		return nil, nil, err
	}
	if len(entries) == 0 {
		d.notices = append(d.notices, say.That("no journal entries: everything that was done is unknown; write it down with rowen record"))
	}
	return report.BuildReview(d.farm, v, d.station, d.notices), d.farm, nil
}
