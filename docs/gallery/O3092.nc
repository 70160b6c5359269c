%
O3092 (PART AND ADVANCE)
M98 P3091
(ADVANCE THE BAR - CROSS GRIPPER)
T0707
G0 X60. Z60.
G0 Z-43.
G98 G1 X0. F1200.
G4 X0.5                        (SETTLE)
M11                            (CHUCK OPEN)
G4 X0.6                        (UNTIL THE CHUCK IS OPEN)
G1 W34. F2500.                 (DRAW THE BAR ONE ADVANCE)
M10                            (CHUCK CLOSED)
G4 X0.7                        (UNTIL THE CHUCK GRIPS)
G1 X60. F1200.
G0 Z60.
G0 X120.
M99
%
