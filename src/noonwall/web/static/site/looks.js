// Colours and patience of the view.
export const PANEL = 0x54698c, WORKS = 0xc9bcae, EMBER = 0xb4471f;
export const LIGHT = { ground: 0xf4efe4, sky: 0xfbf8f2, ring: 0xb6ad9c, edge: 0x4b565e };
export const DARK = { ground: 0x75858f, sky: 0x12181d, ring: 0x8797a1, edge: 0xcfd8dd };
export const PATIENCE_MS = 600;  // how long a move waits for its answer before the next is sent all the same
export const FINGER_PX = 14;  // so far beside what is picked a drag still takes hold of it
export const SLACK_PX = 5;  // a press that wanders less than this is a tap
export const LIT = [[0x26, 0x32, 0x3b], [0x6d, 0x66, 0x50], [0xc5, 0x9a, 0x3a], [0xff, 0xe0, 0x8a]];
