// Small drawings: where each measure is taken, and what each choice looks like.
import { svg } from "./tools.js";

const BODY = "M44 20c-1 5-1 8-4 11-5 3-14 4-18 8-4 5-5 24-7 38-1 9-3 19-2 26l4 1 7-30 4-24c2 12 5 22 5 33 0 12-7 22-7 41 0 22 5 44 6 62l1 38h9l3-62c0-13 2-26 5-42 3 16 5 29 5 42l3 62h9l1-38c1-18 6-40 6-62 0-19-7-29-7-41 0-11 3-21 5-33l4 24 7 30 4-1c1-7-1-17-2-26-2-14-3-33-7-38-4-4-13-5-18-8-3-3-3-6-4-11 5-5 5-18-6-18s-11 13-6 18z";
const AT = {
  bust: "M27 62c8 5 38 5 46 0", underbust: "M28 71c8 4 36 4 44 0", waist: "M32 90c7 4 29 4 36 0", hip: "M24 122c10 5 42 5 52 0", neck: "M43 30c3 4 11 4 14 0",
  nape_waist: "M50 28V90", back_half_length: "M50 28V90", stature: "M88 3V224", shoulder_width: "M24 38H76", across_back: "M29 50H71", neck_bust: "M43 31L37 62",
  shoulder_bust: "M43 31L37 62", shoulder_underbust: "M43 31L37 62V72", bust_span: "M38 62H62", front_waist: "M43 31L37 62L38 90", half_length: "M43 31L37 62L38 90",
  front_half_length: "M43 31L37 62L38 90", shoulder_hip: "M43 31L37 62L36 122", shoulder_knee: "M43 31L37 62L34 170", full_length: "M43 31L37 62L33 224", upper_arm: "M16 58l12 3",
  round_shoulders: "M19 50c8 6 54 6 62 0", round_sleeve: "M14 72l12 3", wrist: "M12 98l8 2", arm_length: "M24 38L18 72L14 102", waist_hip: "M30 90L24 122", waist_knee: "M30 90L27 170", waist_floor: "M30 90V224",
  scye_depth: "M50 28V54M36 54H64", shoulder_drop: "M50 28H78M78 28V40", neck_depth: "M50 31V48", neck_width: "M50 31H61",
};
export const figure = key => svg("4 0 92 228", [["ink", BODY], ["figure-here", AT[key] ?? ""]]);

const CHOICE = {
  "neck round": "M6 8L14 6C16 18 24 18 26 6L34 8", "neck v": "M6 8L14 6L20 24L26 6L34 8", "neck square": "M6 8L14 6V18H26V6L34 8", "neck boat": "M4 10L8 8C14 13 26 13 32 8L36 10",
  "sleeve none": "M14 6L26 6M10 8C13 16 13 20 10 24V36H30V24C27 20 27 16 30 8", "sleeve short": "M14 6H26M12 7L4 17L9 21L12 17V36H28V17L31 21L36 17L28 7",
  "sleeve elbow": "M14 6H26M12 7L3 24L8 27L13 17V36H27V17L32 27L37 24L28 7", "sleeve long": "M14 6H26M12 7L2 34L6 36L13 17V36H27V17L34 36L38 34L28 7",
  "sleeve puff": "M14 6H26M12 7C3 5 1 16 5 19L11 18M28 7C37 5 39 16 35 19L29 18M12 7V36H28V7", "sleeve flared": "M14 6H26M12 7L1 22L9 25L13 15V36H27V15L31 25L39 22L28 7",
  "sleeve flutter": "M14 6H26M12 7C6 9 3 13 2 17C5 15 6 18 8 16C9 19 11 16 12 17V36H28V17C29 16 31 19 32 16C34 18 35 15 38 17C37 13 34 9 28 7",
  "sleeve off_shoulder": "M5 11C12 15 28 15 35 11L37 18C28 22 12 22 3 18ZM12 21V36H28V21",
  "skirt straight": "M12 5H28L31 14V36H9V14Z", "skirt tapered": "M12 5H28L31 14L27 36H13L9 14Z", "skirt a_line": "M12 5H28L36 36H4Z", "skirt circle": "M14 5H26L39 32C34 38 28 32 20 36C12 32 6 38 1 32Z",
  "skirt none": "M8 30H32M10 6L9 30M30 6L31 30", "princess armhole": "M12 6C15 14 15 18 12 22V36H28V22C25 18 25 14 28 6M13 20C20 22 19 28 18 36M27 20C20 22 21 28 22 36",
  "princess shoulder": "M10 8L16 6M24 6L30 8V36H10V8M13 7L17 22L16 36M27 7L23 22L24 36", "princess none": "M10 6V36H30V6M30 16L23 20L30 18M16 36L17 26L18 36",
};
export const choice = (key, value) => (`${key} ${value}` in CHOICE ? svg("0 0 40 40", [["ink", CHOICE[`${key} ${value}`]]]) : null);

export const ICONS = {
  table: "M3 8h18v9H3zM6 17v4M18 17v4M12 2v3M7 12h10", client: "M12 3a3.5 3.5 0 1 0 .1 0M5 21c1-8 4-9 7-9s6 1 7 9", dress: "M9 3l1.500 3h3L15 3M9 3L7 9l2 2-4 10h14l-4-10 2-2-2-6",
  cloth: "M3 6l9-3 9 3-9 3zM3 6v9l9 4 9-4V6M12 9v10", cut: "M4 4l13 13M20 4L7 17M6 17a2.500 2.500 0 1 0 .1 0M18 17a2.500 2.500 0 1 0 .1 0", fitting: "M4 20L15 9M15 9a3 3 0 1 0 4-4 3 3 0 0 0-4 4M4 4h7M4 8h4",
};
