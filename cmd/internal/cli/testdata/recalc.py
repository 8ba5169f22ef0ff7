"""Times an open spreadsheet: type a price, read every margin.

Usage: recalc.py SOFFICE WORKBOOK PROFILE CAKES LINES. Prints milliseconds, the
median of seven rounds. Uses Debian's python3-uno.
"""
import subprocess, sys, time

import uno
from com.sun.star.beans import PropertyValue

soffice, workbook, profile, cakes, lines = sys.argv[1:4] + [int(n) for n in sys.argv[4:]]
pipe = "marchpane%d" % time.time_ns()
office = subprocess.Popen([soffice, "-env:UserInstallation=file://" + profile, "--headless", "--norestore",
                           "--accept=pipe,name=%s;urp;" % pipe], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
try:
    local = uno.getComponentContext()
    resolver = local.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", local)
    for _ in range(300):
        try:
            context = resolver.resolve("uno:pipe,name=%s;urp;StarOffice.ComponentContext" % pipe)
            break
        except Exception:
            time.sleep(0.1)
    desktop = context.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", context)
    doc = desktop.loadComponentFromURL("file://" + workbook, "_blank", 0, (PropertyValue("Hidden", 0, True, 0),))
    price = doc.Sheets.getByName("prices").getCellByPosition(1, 0)
    model = doc.Sheets.getByName("Sheet1")
    rounds = []
    for i in range(8):
        start = time.perf_counter()
        price.Value = 20.0 + i
        margins = [row[0] for row in model.getCellRangeByPosition(4, 0, 4, cakes * lines - 1).getDataArray()]
        rounds.append((time.perf_counter() - start) * 1000)
        if sum(isinstance(m, float) for m in margins) != cakes:
            sys.exit("not every margin is a number")
    print(sorted(rounds[1:])[3])
    doc.close(True)
finally:
    office.kill()
