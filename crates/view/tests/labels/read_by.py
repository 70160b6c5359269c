#!/usr/bin/env python3
"""Reads the codes of a page of labels with OpenCV, as a camera would.

Run by hand only, in this folder: `pip install opencv-python-headless` and librsvg's `rsvg-convert`, then
    python3 read_by.py ../../../../demo/week-48/expected/labels-1.svg > read.txt
"""
import datetime
import subprocess
import sys
import tempfile

import cv2

with tempfile.NamedTemporaryFile(suffix=".png") as png:
    subprocess.run(["rsvg-convert", "-w", "1680", sys.argv[1], "-o", png.name], check=True)
    page = cv2.imread(png.name)
print(f"# {datetime.date.today()}, OpenCV {cv2.__version__}: what each of the 24 codes says, row by row")
wide, high = page.shape[1] // 3, page.shape[0] // 8
for row in range(8):
    for column in range(3):
        label = page[row * high:(row + 1) * high, column * wide:(column + 1) * wide]
        words, _, _ = cv2.QRCodeDetector().detectAndDecode(label)
        print(words or "(not read)")
