# Drives Chromium over its remote-debugging pipe (no library, no port): opens a record, reads its accessibility
# tree, hovers, uses the keyboard, narrows and prints it. Prints what it saw as one JSON object.
#   drive_record.py CHROMIUM RECORD.html PRINTED.pdf
# Protocol: https://chromedevtools.github.io/devtools-protocol (domains Page, Runtime, Input, Emulation, Network,
# Log, Accessibility).
import base64, fcntl, json, os, select, subprocess, sys, tempfile, time

chromium, html, printed = sys.argv[1:4]
profile = tempfile.TemporaryDirectory()
to_read, to_write = os.pipe()
from_read, from_write = os.pipe()
# Kept clear of 3 and 4, which the browser is given.
far_read = fcntl.fcntl(to_read, fcntl.F_DUPFD, 20)
far_write = fcntl.fcntl(from_write, fcntl.F_DUPFD, 20)


def hand_over():
    os.dup2(far_read, 3)
    os.dup2(far_write, 4)


to_write_far = fcntl.fcntl(to_write, fcntl.F_DUPFD, 30)
from_read_far = fcntl.fcntl(from_read, fcntl.F_DUPFD, 30)
browser = subprocess.Popen(
    [chromium, "--headless", "--no-sandbox", "--disable-gpu", "--remote-debugging-pipe",
     "--user-data-dir=" + profile.name, "--no-first-run", "--disable-extensions", "about:blank"],
    preexec_fn=hand_over, pass_fds=(3, 4), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)

buffer, events, next_id = b"", [], 0


def receive(limit):
    global buffer
    while b"\0" not in buffer:
        left = limit - time.monotonic()
        if left <= 0 or not select.select([from_read_far], [], [], left)[0]:
            raise TimeoutError
        buffer += os.read(from_read_far, 1 << 20)
    message, buffer = buffer.split(b"\0", 1)
    return json.loads(message)


def call(method, session=None, **parameters):
    global next_id
    next_id += 1
    message = {"id": next_id, "method": method, "params": parameters}
    if session:
        message["sessionId"] = session
    data = json.dumps(message).encode() + b"\0"
    while data:
        data = data[os.write(to_write_far, data):]
    limit = time.monotonic() + 60
    while True:
        got = receive(limit)
        if got.get("id") == next_id:
            if "error" in got:
                raise RuntimeError(method + ": " + got["error"]["message"])
            return got["result"]
        events.append(got)


def main():
    target = call("Target.createTarget", url="about:blank")["targetId"]
    session = call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
    page = lambda method, **parameters: call(method, session, **parameters)
    for domain in ("Page", "Runtime", "Network", "Log", "Accessibility"):
        page(domain + ".enable")
    page("Emulation.setDeviceMetricsOverride", width=1280, height=900, deviceScaleFactor=1, mobile=False)
    page("Page.navigate", url="file://" + os.path.abspath(html))
    limit = time.monotonic() + 60
    while not any(e.get("method") == "Page.loadEventFired" for e in events):
        events.append(receive(limit))

    def js(expression):
        result = page("Runtime.evaluate", expression=expression, returnByValue=True)
        if "exceptionDetails" in result:
            raise RuntimeError(json.dumps(result["exceptionDetails"])[:500])
        return result["result"].get("value")

    def mouse(x, y):
        page("Input.dispatchMouseEvent", type="mouseMoved", x=x, y=y)

    def key(name, code):
        for kind in ("keyDown", "keyUp"):
            page("Input.dispatchKeyEvent", type=kind, key=name, code=name, windowsVirtualKeyCode=code)

    seen = {}
    tree = page("Accessibility.getFullAXTree")["nodes"]
    roles = {}
    nameless = []
    for node in tree:
        role = node.get("role", {}).get("value", "")
        if node.get("ignored"):
            continue
        roles[role] = roles.get(role, 0) + 1
        if role in ("image", "img", "link", "radio", "heading", "table", "group", "navigation") and \
                not node.get("name", {}).get("value", "").strip() and role not in ("group", "navigation"):
            nameless.append(role)
    seen["roles"], seen["nameless"] = roles, nameless
    seen["headings"] = [n["name"]["value"] for n in tree if n.get("role", {}).get("value") == "heading" and not n.get("ignored")]
    seen["scripts"] = js("document.querySelectorAll('script,iframe,object,embed,form').length")
    seen["handlers"] = js("[...document.querySelectorAll('*')].filter(e => [...e.attributes].some(a => /^on/i.test(a.name))).length")

    # A row under the pointer lights its mark, and the mark its row.
    lit = "(() => {const r=document.querySelector('tr[data-try]'); const g=document.querySelector('g.'+r.classList[0]+' path:not(.halo)');" \
          "return [getComputedStyle(r).backgroundColor, getComputedStyle(g).strokeWidth, getComputedStyle(g).stroke]})()"
    found = js("(() => {for (const r of document.querySelectorAll('tr[class^=m-]')) {const m=r.classList[0];"
               "if (document.querySelector('g.'+m+' path:not(.halo)')) {r.dataset.try=1; r.scrollIntoView({block:'center'}); return m}} return ''})()")
    seen["mark_with_row"] = found != ""
    if found:
        mouse(1, 1)
        before = js(lit)
        box = js("(() => {const b=document.querySelector('tr[data-try]').getBoundingClientRect(); return [b.x+b.width/2, b.y+b.height/2]})()")
        mouse(*box)
        seen["hover_row"] = [before, js(lit)]
        mouse(1, 1)
        box = js("(() => {for (const p of document.querySelectorAll('g.%s path')) {p.scrollIntoView({block:'center'});"
                 "const b=p.getBoundingClientRect(); for (let t=0;t<=1;t+=0.02) {const q=p.getPointAtLength(t*p.getTotalLength());"
                 "const s=new DOMPoint(q.x,q.y).matrixTransform(p.getScreenCTM()); const e=document.elementFromPoint(s.x,s.y);"
                 "if (e && e.closest('g.%s')) return [s.x,s.y]}} return null})()" % (found, found))
        seen["mark_found_by_pointer"] = box is not None
        if box:
            mouse(*box)
            seen["hover_mark"] = [before, js(lit)]
        mouse(1, 1)
        # The keyboard does what hovering does.
        focused = js("(() => {const a=document.querySelector('tr[data-try] a'); if (!a) return false; a.focus({focusVisible:true}); return true})()")
        seen["row_takes_focus"] = focused
        if focused:
            seen["focus_row"] = [before, js(lit)]

    # The slider by arrow keys.
    clip = "(() => {const w=document.querySelector('.wipe'); const all=w.querySelectorAll('.stage .photo');" \
           "return [w.querySelector('input:checked').className, getComputedStyle(all[all.length-1]).clipPath]})()"
    seen["wipes"] = js("document.querySelectorAll('.wipe').length")
    if seen["wipes"]:
        js("document.querySelector('.wipe input:checked').focus()")
        before = js(clip)
        key("ArrowRight", 39)
        time.sleep(0.4)
        seen["wipe"] = [before, js(clip)]

    # Dark, narrow, printed.
    ground = "getComputedStyle(document.body).backgroundColor"
    light = js(ground)
    page("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": "dark"}])
    seen["grounds"] = [light, js(ground)]
    page("Emulation.setEmulatedMedia", features=[])
    page("Emulation.setDeviceMetricsOverride", width=360, height=740, deviceScaleFactor=2, mobile=True)
    seen["narrow_width"] = js("document.documentElement.scrollWidth")
    # What stands out of a phone's screen and can't be scrolled to within a box of its own.
    seen["narrow_out"] = js("[...document.querySelectorAll('body *')].filter(e => e.getBoundingClientRect().right > 361 &&"
                            "!e.closest('.scroll') && !e.closest('svg') && !e.closest('.hidden')).map(e => e.tagName + '.' + e.className)")
    page("Emulation.clearDeviceMetricsOverride")
    with open(printed, "wb") as file:
        file.write(base64.b64decode(page("Page.printToPDF", printBackground=False)["data"]))
    seen["requests"] = [e["params"]["request"]["url"][:60] for e in events if e.get("method") == "Network.requestWillBeSent"
                        and not e["params"]["request"]["url"].startswith(("data:", "file:", "about:"))]
    seen["complaints"] = [json.dumps(e["params"])[:300] for e in events
                          if e.get("method") in ("Log.entryAdded", "Runtime.exceptionThrown", "Page.javascriptDialogOpening")]
    print(json.dumps(seen, indent=1))


try:
    main()
finally:
    browser.kill()
    browser.wait()
