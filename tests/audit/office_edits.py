"""Edits a workbook inside LibreOffice. Run by the office's own Python; reads one order in JSON from standard input."""

import contextlib
import json
import subprocess
import sys
import time
import uuid

import uno
from com.sun.star.beans import PropertyValue
from com.sun.star.connection import NoConnectException

XLSX = "Calc MS Excel 2007 XML"


def prop(name, value):
    made = PropertyValue()
    made.Name, made.Value = name, value
    return made


def connected(profile):
    pipe = f"tco{uuid.uuid4().hex[:12]}"
    command = ["soffice", f"-env:UserInstallation=file://{profile}", "--headless", "--norestore", "--nologo"]
    process = subprocess.Popen([*command, f"--accept=pipe,name={pipe};urp;"])
    resolver = uno.getComponentContext().ServiceManager.createInstance("com.sun.star.bridge.UnoUrlResolver")
    for _ in range(300):
        try:
            context = resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
        except NoConnectException:
            time.sleep(0.2)
        else:
            return process, context.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", context)
    process.kill()
    raise RuntimeError("no office answered")


def act(document, action, sheet, *rest):
    page = document.Sheets.getByName(sheet)
    page.unprotect("")
    if action == "insert rows":
        page.Rows.insertByIndex(*rest)
    elif action == "delete rows":
        page.Rows.removeByIndex(*rest)
    elif action == "insert columns":
        page.Columns.insertByIndex(*rest)
    elif action == "set":
        row, column, content = rest
        cell = page.getCellByPosition(column, row)
        if isinstance(content, str):
            cell.setFormula(content)
        else:
            cell.setValue(content)
    elif action == "rename":
        page.setName(*rest)
    else:
        raise ValueError(action)


def main():
    order = json.load(sys.stdin)
    process, desktop = connected(order["profile"])
    try:
        for name, actions in order["jobs"].items():
            document = desktop.loadComponentFromURL(f"file://{order['source']}", "_blank", 0, (prop("Hidden", True),))
            for action in actions:
                act(document, *action)
            document.calculateAll()
            document.storeToURL(f"file://{order['folder']}/{name}.xlsx", (prop("FilterName", XLSX),))
            document.close(True)
    finally:
        with contextlib.suppress(Exception):  # the bridge breaks as the office leaves
            desktop.terminate()
        process.wait(timeout=60)


main()
