package sky_test

import (
	"testing"

	"evenfall/sky"

	"github.com/stretchr/testify/assert"
)

// Cloudless skies are those whose light comes about without cloud.
func TestCloudless(t *testing.T) {
	for _, s := range states() {
		e := seaLevel(0.2).Derive(s.condition, s.which, at(20), sky.View{})
		assert.Equal(t, e.Cloud == nil, s.condition.Cloudless(), s.name)
	}
	assert.True(t, sky.Oktas(0).Cloudless())
	assert.False(t, sky.Oktas(3).Cloudless())
	assert.True(t, sky.WithTurbidity(4).Cloudless())
}
