package journal

import "time"

// lockPatience is how long an append waits for others to finish. One of them
// takes milliseconds: after this long something is wrong, and a person is told.
const lockPatience = 30 * time.Second
