refused woad measure $TESTIMAGES/sixteen-bits.png --at '2026-05-03 10:20' --inked-at '2026-05-03 10:21'
