package cli

import "rowen/internal/web"

type wordsCommand struct{}

// Help shows examples.
func (wordsCommand) Help() string { return examples("words") }

// Run prints the words of the pages and every sentence that they show.
func (wordsCommand) Run(f *face) error {
	text, err := web.English()
	if err != nil {
		return err
	}
	_, err = f.out.Write(text)
	return err
}
