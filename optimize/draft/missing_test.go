package draft

import (
	"os"
	"testing"
)

// missing skips by name, or fails where SEVENYARD_PEERS=require says that everything has to be there.
func missing(t *testing.T, program string) {
	t.Helper()
	if os.Getenv("SEVENYARD_PEERS") == "require" {
		t.Fatalf("%s is missing", program)
	}
	t.Skipf("%s is missing", program)
}
