package cli

import "emberbank/dossier"

func (k *pictureCommand) moving(*call, place, *dossier.Shown, string, *pictureJSON) ([]byte, error) {
	return nil, &failure{code: ExitUsage, message: "not yet"}
}
