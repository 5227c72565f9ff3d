package cli

import (
	"path/filepath"

	"rowen/internal/desk"
	"rowen/internal/files"
)

type validateCommand struct {
	officeFlag
	Data string `help:"Folder of the stations' weather." required:"" placeholder:"DIR"`
	Out  string `help:"File to write the page to; default: print it." placeholder:"FILE"`
}

// Help shows examples.
func (validateCommand) Help() string { return examples("validate") }

// Run simulates and prints.
func (c validateCommand) Run(f *face) error {
	page, err := desk.Validate(c.Data, c.Catalogue)
	if err != nil {
		return err
	}
	if c.Out != "" {
		return files.Write(filepath.Dir(c.Out), map[string][]byte{filepath.Base(c.Out): page})
	}
	_, err = f.out.Write(page)
	return err
}
