package web

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// TestPicturesOfTheReadme takes the pictures that the README shows once more,
// into the folder that MARCHPANE_PICTURES names; `make screens` asks for it.
func TestPicturesOfTheReadme(t *testing.T) {
	folder := os.Getenv("MARCHPANE_PICTURES")
	if folder == "" {
		t.Skip("MARCHPANE_PICTURES names no folder")
	}
	ctx := browser(t)
	v := visitStudio(t, true)
	for _, p := range []struct {
		name, path    string
		width, height int64
	}{
		{"cake", "/cakes/wedding-three-tier", 1280, 1300},
		{"what-if", "/what-if?move.butter=18", 1280, 1300},
	} {
		window := chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
			_, err := cdp.Call(ctx, t, emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{Width: p.width, Height: p.height, DeviceScaleFactor: 1})
			return err
		})
		view := chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
			res, err := cdp.Call(ctx, t, page.CaptureScreenshot, page.CaptureScreenshotParams{})
			if err != nil {
				return err
			}
			return os.WriteFile(filepath.Join(folder, p.name+".png"), res.Data, 0o644)
		})
		if err := chromedp.Do(ctx, screen(p.width, "light"), window, chromedp.Navigate(v.url+p.path), view); err != nil {
			t.Fatalf("%s: %v", p.name, err)
		}
	}
}
