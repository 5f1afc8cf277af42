// Shapes of the data in the page. See CONTRACT.md.

type Said = string | (string | null)[] | null;
type Lab = [number, number, number];

interface Alike { with: number; difference: number; words: Said; eyes?: string[] }
interface Colour {
  key: string; family: number;
  names: Said[]; numbers: (string | null)[];
  also?: Said[]; note?: Said;
  value: string | null; lab: Lab | null; look?: string;
  /** Six digits each. */
  tones?: string;
  first: number | null; last: number | null; new?: boolean;
  parts: number[]; alike?: Alike[];
}
interface Part { key: string; title: Said; size: Said; side?: string; numbers: (string | null)[] }
interface Drawing { box: [number, number, number, number]; svg: string }
interface Picture { file: string; title: Said; width: number; height: number }
interface PageData {
  title: Said; subtitle: Said; maker: Said; release: Said; id: string; year: number | null;
  spellings: { tag: string; name: string; words: Record<string, string> }[];
  listings: { key: string; title: Said }[];
  order_from: number;
  families: { key: string; title: Said; note: Said; finish: number }[];
  finishes: { key: string; title: Said }[];
  parts: Part[]; colours: Colour[];
  outlines?: string[];
  drawings?: Record<string, Record<string, Drawing>>;
  photos?: Record<string, [file: string, width: number, height: number]>;
  preview?: Picture[]; shop?: string | null; licence?: Said;
}
interface State {
  find: string; family: string; finish: string; part: string; year: string; near: string;
  colour: string; beside: string[]; on: string; view: string; order: Line[]; spelling: string;
}
interface Line { colour: string; part: string; count: number }
interface Entry { token: string; digits: boolean; letters: number; colours: Int32Array; weights: Float32Array }
interface SearchIndex { entries: Entry[]; names: string[][]; size: number }
interface Found { items: number[]; exact: boolean }
interface Host {
  /** The state as it is. */ state: State;
  /** Changes the state; `push` makes a step to go back from. */
  go(change: Partial<State>, push?: boolean): void;
  /** Shows what changed on the device. */ counted(): void;
}
