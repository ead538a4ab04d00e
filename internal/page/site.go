package page

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"strings"

	"evenfall/internal/words"
)

var (
	//go:embed host/site.js
	siteScript string
	//go:embed host/worker.js
	workerScript string
)

// SiteMark is what the service worker of a site begins with: a folder that has
// one was written by Site.
const SiteMark = "// evenfall site:"

// WorkerFile is the name of the service worker's file.
const WorkerFile = "sw.js"

// iconSizes are the widths of a site's icons in pixels. The service worker keeps
// them by the names of their files.
var iconSizes = [...]int{192, 512}

// iconFile is the name of an icon's file.
func iconFile(size int) string { return fmt.Sprintf("icon-%d.png", size) }

// File is a file of a site.
type File struct {
	Name string
	Data []byte
}

// Site returns a sheet as a small site for any host that has https: the page, a
// service worker that keeps it for when there is no network, a manifest for the
// home screen, and icons. They are to be written in this order: the worker, by
// which browsers see that there is a new edition, comes last.
func Site(s *Sheet) ([]File, error) {
	files := []File{}
	for _, size := range iconSizes {
		data, err := icon(size)
		if err != nil {
			return nil, err
		}
		files = append(files, File{iconFile(size), data})
	}
	manifest, err := json.MarshalIndent(manifestOf(s), "", "  ")
	if err != nil {
		return nil, err
	}
	files = append(files, File{"manifest.webmanifest", append(manifest, '\n')})
	// The edition is named by all that is in it, the page with a name to be filled in.
	const unnamed = "EDITION"
	page, err := pageOf(s, unnamed)
	if err != nil {
		return nil, err
	}
	sum := sha256.New()
	for _, f := range append(files, File{Data: page}) {
		sum.Write(f.Data)
	}
	edition := hex.EncodeToString(sum.Sum(nil)[:8])
	if page, err = pageOf(s, edition); err != nil {
		return nil, err
	}
	worker := strings.Replace(workerScript, unnamed, edition, 1)
	return append(files, File{"index.html", page}, File{WorkerFile, []byte(worker)}), nil
}

// pageOf returns the page of an edition.
func pageOf(s *Sheet, edition string) ([]byte, error) {
	own := *s
	own.Edition = edition
	var b bytes.Buffer
	err := Write(&b, &own)
	return b.Bytes(), err
}

// manifest says how a site stands on a home screen (W3C, Web Application
// Manifest).
type manifest struct {
	Name       string         `json:"name"`
	ShortName  string         `json:"short_name"`
	Start      string         `json:"start_url"`
	Scope      string         `json:"scope"`
	Display    string         `json:"display"`
	Background string         `json:"background_color"`
	Theme      string         `json:"theme_color"`
	Icons      []manifestIcon `json:"icons"`
}

type manifestIcon struct {
	Source  string `json:"src"`
	Sizes   string `json:"sizes"`
	Type    string `json:"type"`
	Purpose string `json:"purpose"`
}

func manifestOf(s *Sheet) *manifest {
	title := words.Safe(s.Document.Title)
	short, _, _ := strings.Cut(title, ",")
	m := &manifest{Name: title, ShortName: short, Start: "./", Scope: "./", Display: "standalone",
		Background: "#ffffff", Theme: "#161616"}
	for _, size := range iconSizes {
		m.Icons = append(m.Icons, manifestIcon{iconFile(size), fmt.Sprintf("%dx%d", size, size), "image/png", "any maskable"})
	}
	return m
}
