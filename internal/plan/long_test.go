package plan

import "os"

// long returns how many times as long a test may take as it usually does.
func long() int {
	switch os.Getenv("EVENFALL_LONG") {
	case "":
		return 1
	case "1":
		return 4
	}
	return 10
}
