"""Opens pages in one headless browser without a network, and says what they did there.

    browse.py FOLDER NAME...

For each FOLDER/NAME.html: a picture of the window (NAME.png), the page printed (NAME.browser.pdf), and
an objection where the console says something or the page asks for anything but itself. Speaks the
browser's own debugging protocol over a pipe, one JSON value a message, ended by a zero byte.
"""

import base64
import json
import os
import pathlib
import select
import subprocess
import sys
import tempfile
import time

FLAGS = [
    "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--window-size=1280,800",
    "--host-resolver-rules=MAP * ~NOTFOUND", "--no-first-run", "--remote-debugging-pipe",
]
PATIENCE_S = 60


class Browser:
    def __init__(self, profile):
        ours_in, theirs_out = os.pipe()
        theirs_in, ours_out = os.pipe()

        def place():
            # The browser reads at 3 and writes at 4. Moved out of the way first, lest one overwrites the other.
            reads, writes = os.dup2(theirs_in, 13), os.dup2(theirs_out, 14)
            os.dup2(reads, 3)
            os.dup2(writes, 4)

        self.process = subprocess.Popen(
            ["chromium", *FLAGS, f"--user-data-dir={profile}", "about:blank"],
            preexec_fn=place, close_fds=False, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )
        os.close(theirs_in)
        os.close(theirs_out)
        self.reads, self.writes = ours_in, ours_out
        self.number, self.rest, self.heard = 0, b"", []

    def message(self):
        until = time.monotonic() + PATIENCE_S
        while b"\0" not in self.rest:
            ready, _, _ = select.select([self.reads], [], [], max(0, until - time.monotonic()))
            part = os.read(self.reads, 1 << 20) if ready else b""
            if not part:
                sys.exit("pages-check: the browser says nothing any more")
            self.rest += part
        one, self.rest = self.rest.split(b"\0", 1)
        return json.loads(one)

    def ask(self, method, session=None, **params):
        self.number += 1
        asked = {"id": self.number, "method": method, "params": params}
        if session:
            asked["sessionId"] = session
        os.write(self.writes, json.dumps(asked).encode() + b"\0")
        while True:
            told = self.message()
            if told.get("id") == self.number:
                if "error" in told:
                    sys.exit(f"pages-check: {method}: {told['error']}")
                return told["result"]
            self.heard.append(told)

    def until(self, method):
        for told in self.heard:
            if told.get("method") == method:
                return
        while (told := self.message()).get("method") != method:
            self.heard.append(told)

    def end(self):
        self.ask("Browser.close")
        self.process.wait(timeout=PATIENCE_S)


def look(browser, folder, name):
    page = (folder / f"{name}.html").resolve()
    target = browser.ask("Target.createTarget", url="about:blank")["targetId"]
    session = browser.ask("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
    for domain in ["Page", "Network", "Runtime", "Log"]:
        browser.ask(f"{domain}.enable", session)
    browser.heard.clear()
    browser.ask("Page.navigate", session, url=page.as_uri())
    browser.until("Page.loadEventFired")
    picture = browser.ask("Page.captureScreenshot", session)["data"]
    (folder / f"{name}.png").write_bytes(base64.b64decode(picture))
    printed = browser.ask("Page.printToPDF", session, preferCSSPageSize=True)["data"]
    (folder / f"{name}.browser.pdf").write_bytes(base64.b64decode(printed))
    wrong = []
    for told in browser.heard:
        params = told.get("params", {})
        match told.get("method"):
            case "Network.requestWillBeSent":
                url = params["request"]["url"]
                if url != page.as_uri() and not url.startswith("data:"):
                    wrong.append(f"asks for {url}")
            case "Runtime.consoleAPICalled" | "Runtime.exceptionThrown":
                wrong.append(f"console: {json.dumps(params)[:200]}")
            case "Log.entryAdded":
                wrong.append(f"log: {params['entry']['text']}")
    browser.ask("Target.closeTarget", targetId=target)
    return wrong


def main():
    folder, names = pathlib.Path(sys.argv[1]), sys.argv[2:]
    with tempfile.TemporaryDirectory() as profile:
        browser = Browser(profile)
        wrong = [f"{name}: {one}" for name in names for one in look(browser, folder, name)]
        browser.end()
    for one in wrong:
        print(f"pages-check: {one}", file=sys.stderr)
    sys.exit(1 if wrong or not names else 0)


main()
