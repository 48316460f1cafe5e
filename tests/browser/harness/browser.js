// The browser of this machine, and the ways in which a person may look at the pages.
import { existsSync } from "node:fs";
import { chromium } from "playwright-core";

const PLACES = ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"];

/** Opens the installed Chromium, with `more` said to it. Nothing is downloaded; names other than this machine's are not looked up. */
export async function openBrowser(more = []) {
  const executablePath = process.env.CHROMIUM ?? PLACES.find(existsSync);
  if (!executablePath) {
    throw new Error(`There is no Chromium at ${PLACES.join(", ")}. Install it, or set CHROMIUM to its path.`);
  }
  return chromium.launch({
    executablePath,
    args: ["--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1", "--force-prefers-reduced-motion", ...more],
  });
}

const PHONE = { width: 390, height: 844 };
const SMALL_PHONE = { width: 320, height: 640 };
const DESK = { width: 1280, height: 900 };

/** What each journey is walked with: both sizes, both themes, with JavaScript and without. */
export const WAYS = {
  deskLight: { name: "desk, light", size: DESK, theme: "light", javaScript: true },
  deskDark: { name: "desk, dark", size: DESK, theme: "dark", javaScript: true },
  phoneLight: { name: "phone, light", size: PHONE, theme: "light", javaScript: true },
  phoneDark: { name: "phone, dark", size: PHONE, theme: "dark", javaScript: true },
  deskLightPlain: { name: "desk, light, no JavaScript", size: DESK, theme: "light", javaScript: false },
  deskDarkPlain: { name: "desk, dark, no JavaScript", size: DESK, theme: "dark", javaScript: false },
  phoneLightPlain: { name: "phone, light, no JavaScript", size: PHONE, theme: "light", javaScript: false },
  smallLight: { name: "small phone, light", size: SMALL_PHONE, theme: "light", javaScript: true },
  smallDarkPlain: { name: "small phone, dark, no JavaScript", size: SMALL_PHONE, theme: "dark", javaScript: false },
  phoneDarkPlain: { name: "phone, dark, no JavaScript", size: PHONE, theme: "dark", javaScript: false },
};
