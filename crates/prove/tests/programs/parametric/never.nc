%
O0430 (FERRULE, #1 IS NEVER STEPPED AND THE PULL IS SKIPPED)
(SHOP radial-mm)
(PARTS 1)
(ENDS NEVER)
(UNPROVEN what a stop with reset leads to, block by block)
G21 G99
#1 = 0
WHILE [#1 LT 23] DO1
T0101
G97 S1100 M3
G0 X24. Z0
G1 X-1. F.12
G0 X18. Z1.
G1 Z-33. F.2
G0 X150. Z80.
T0303
G0 X24. Z-35.
G1 X-.6 F.05 (stop: part-off-in-air @ X-.6)
G0 X150. Z80.
M5
IF [#1 LT 23] GOTO 20
T0606
G0 X150. Z80.
N20 G4 X1.
END1 (stop: loop-never-ends @ END1) (stop: parts-not-counted @ END1)
M30
%
