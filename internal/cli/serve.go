package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"strconv"
	"strings"
	"time"
)

// serveAddress reads where a page is to be served: a port of this machine alone,
// or a host or an address of its own before it.
func serveAddress(text string) (host, port string, err error) {
	refused := &problem{exitUsage, fmt.Sprintf("--serve %q is no address to serve the page at", text),
		"--serve 8080, or --serve 192.168.1.20:8080 for other devices"}
	host, port, cut := "", text, strings.Contains(text, ":")
	if cut {
		if host, port, err = net.SplitHostPort(text); err != nil {
			return "", "", refused
		}
	}
	if n, err := strconv.ParseUint(port, 10, 16); err != nil || n == 0 && host != "" {
		return "", "", refused
	}
	if host == "" {
		host = "127.0.0.1"
	}
	return host, port, nil
}

// serve hands a page to whoever asks for it at the address, until the process is
// interrupted, and says where.
func (g *planning) serve(data []byte) error {
	host, port, err := serveAddress(g.address)
	if err != nil {
		return err
	}
	ctx := g.command.Context()
	listener, err := (&net.ListenConfig{}).Listen(ctx, "tcp", net.JoinHostPort(host, port))
	if err != nil {
		return &problem{exitFailed, fmt.Sprintf("the page cannot be served at %s: %v", net.JoinHostPort(host, port),
			errors.Unwrap(err)), "--serve 0, for any port that is free"}
	}
	_, port, err = net.SplitHostPort(listener.Addr().String())
	if err != nil {
		return err
	}
	for _, name := range reachedBy(host) {
		if err := g.process.say("the page is at http://" + net.JoinHostPort(name, port) + "/"); err != nil {
			return err
		}
	}
	if err := g.process.say("Ctrl-C ends it"); err != nil {
		return err
	}
	return serveUntil(ctx, listener, &pageServer{page: data, host: host, made: g.process.Now})
}

// serveUntil serves until the context ends, whose error it then returns.
func serveUntil(ctx context.Context, listener net.Listener, handler http.Handler) error {
	const mostHeader = 8 << 10 // bytes
	server := &http.Server{
		Handler: handler, ReadHeaderTimeout: 5 * time.Second, ReadTimeout: 10 * time.Second,
		WriteTimeout: 2 * time.Minute, IdleTimeout: 30 * time.Second, MaxHeaderBytes: mostHeader,
		DisableGeneralOptionsHandler: true, // which answers OPTIONS *
	}
	stop := context.AfterFunc(ctx, func() { server.Close() })
	defer stop()
	if err := server.Serve(listener); ctx.Err() == nil {
		return err
	}
	return ctx.Err()
}

// reachedBy are the names of this machine that a host stands for.
func reachedBy(host string) []string {
	address, err := netip.ParseAddr(host)
	if err != nil || !address.IsUnspecified() {
		return []string{host}
	}
	own, _ := net.InterfaceAddrs() // without them the host itself is said
	var list []string
	for _, one := range own {
		prefix, err := netip.ParsePrefix(one.String())
		if err == nil && prefix.Addr().Is4() {
			list = append(list, prefix.Addr().String())
		}
	}
	if len(list) == 0 {
		return []string{host}
	}
	return list
}

// pageServer answers with one page and nothing else, whatever it is asked.
type pageServer struct {
	page []byte
	host string // that it was told to serve at
	made time.Time
}

func (s *pageServer) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	header := w.Header()
	header.Set("X-Content-Type-Options", "nosniff")
	header.Set("Referrer-Policy", "no-referrer")
	header.Set("Cross-Origin-Resource-Policy", "same-origin")
	header.Set("X-Frame-Options", "DENY")
	switch {
	case !s.knows(r.Host):
		http.Error(w, "unknown host", http.StatusForbidden)
	case r.Method != http.MethodGet && r.Method != http.MethodHead:
		header.Set("Allow", "GET, HEAD")
		http.Error(w, "read only", http.StatusMethodNotAllowed)
	case r.URL.EscapedPath() != "/":
		http.NotFound(w, r)
	default:
		header.Set("Content-Type", "text/html; charset=utf-8")
		header.Set("Cache-Control", "no-cache")
		http.ServeContent(w, r, "", s.made, bytes.NewReader(s.page))
	}
}

// knows reports whether a request names this server by an address or by a name
// of its own. Any other name may be of a page elsewhere, that has made it stand
// for this machine to read what is served.
func (s *pageServer) knows(host string) bool {
	name, _, err := net.SplitHostPort(host)
	if err != nil {
		name = strings.Trim(host, "[]")
	}
	if _, err := netip.ParseAddr(name); err == nil {
		return true
	}
	return name == "localhost" || strings.EqualFold(name, s.host)
}
