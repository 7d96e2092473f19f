// Where a list of offers opens: below its field where there is room, else above it.
// Of a field with its label.
export interface FieldBox {
  top: number;
  bottom: number;
  left: number;
  width: number;
}
export interface ListPlace {
  above: boolean;
  left: number;
  width: number;
  edge: number; // of the field's side: the list's top if below, its bottom if above
  most: number; // height it may have
}
const gap = 2;
const margin = 8; // to the window's edge
const readable = 340; // what lies there beside the size, in a line or two
const enough = 200; // a list this high can be used

export function listPlace(field: FieldBox, wanted: number, window: { width: number; height: number }): ListPlace {
  const below = window.height - field.bottom - gap - margin;
  const above = field.top - gap - margin;
  const up = below < Math.min(wanted, enough) && above > below;
  const width = Math.min(Math.max(field.width, readable), window.width - 2 * margin);
  return {
    above: up,
    left: Math.max(margin, Math.min(field.left, window.width - margin - width)),
    width,
    edge: up ? field.top - gap : field.bottom + gap,
    most: Math.max(44, Math.min(wanted, up ? above : below)),
  };
}
