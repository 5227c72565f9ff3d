package cli

import (
	"rowen/internal/desk"
	"rowen/internal/validation"
)

type validateCommand struct {
	officeFlag
	Data string `help:"Folder of the stations' weather." required:"" placeholder:"DIR"`
}

// Help shows examples.
func (validateCommand) Help() string { return examples("validate") }

// Run simulates and prints.
func (c validateCommand) Run(f *face) error {
	results, err := desk.Validate(c.Data, c.Catalogue)
	if err != nil {
		return err
	}
	return validation.Write(f.out, results)
}
