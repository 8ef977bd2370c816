/* A house as cells: what stands at a step, its faces and lines, and what a ray meets.
   maquette.py says what data looks like.  Sides are numbered 2a for up axis a and 2a + 1 for down it;
   the bits of a mask 4u + v are the quarters of a face, u and v the other two axes in order. */
"use strict";
const SUB = 4;
const ACROSS = [[1, 2], [0, 2], [0, 1]];
const LIGHT = [0.8, 0.72, 0.66, 0.86, 1, 0.5];
const SHADE = [1, 0.88, 0.78, 0.7];

/** Whether a form fills a quarter of its cell; bits: 16 hexadecimal digits, as core/forms.py numbers them. */
const filled = (bits, x, y, z) => {
  const n = (x * SUB + y) * SUB + z;
  return parseInt(bits[15 - (n >> 2)], 16) >> (n & 3) & 1;
};

/** The quarters that a form fills in one slice across an axis. */
const sliced = (bits, axis, slice) => {
  let mask = 0;
  const at = [0, 0, 0];
  at[axis] = slice;
  for (let n = 0; n < 16; n++) {
    at[ACROSS[axis][0]] = n >> 2;
    at[ACROSS[axis][1]] = n & 3;
    mask |= filled(bits, ...at) << n;
  }
  return mask;
};

/** Tables by kind of piece, 0 being air: faces by side and slice, the outmost slice by side, and whether dense. */
const tabled = kinds => {
  const face = new Uint16Array((kinds.length + 1) * 24);
  const edge = new Uint16Array((kinds.length + 1) * 6);
  const dense = new Uint8Array(kinds.length + 1);
  kinds.forEach(({ bits }, k) => {
    for (let side = 0; side < 6; side++) {
      const axis = side >> 1, down = side & 1;
      const slices = [0, 1, 2, 3].map(slice => sliced(bits, axis, slice));
      slices.forEach((mask, slice) => {
        face[(k + 1) * 24 + side * 4 + slice] = mask & ~(slices[down ? slice - 1 : slice + 1] ?? 0);
      });
      edge[(k + 1) * 6 + side] = slices[down ? 0 : 3];
    }
    dense[k + 1] = [...bits].reduce((sum, digit) => sum + [0, 1, 1, 2, 1, 2, 2, 3, 1, 2, 2, 3, 2, 3, 3, 4][parseInt(digit, 16)], 0) > 36;
  });
  return { face, edge, dense };
};

/** All cells of a house in the order in which they are set; places are in a grid with air all round. */
const housed = data => {
  const [wide, deep, high] = data.size;
  const stride = [(deep + 2) * (high + 2), high + 2, 1];
  const place = (x, y, z) => (x + 1) * stride[0] + (y + 1) * stride[1] + z + 1;
  const cells = [];
  data.steps.forEach(({ rows }, n) => {
    for (let r = 0; r < rows.length; r += 7) {
      const [x, y, z, run, axis, kind, room] = rows.slice(r, r + 7);
      for (let k = 0; k < run; k++) cells.push([place(x, y, z) + k * stride[axis], kind, n + 1, Infinity, room]);
    }
  });
  for (const [x, y, z, kind, set, struck] of data.props) cells.push([place(x, y, z), kind, set, struck, 0]);
  const colours = [[0, 0, 0], ...data.kinds.map(k => [1, 3, 5].map(n => parseInt(k.colour.slice(n, n + 2), 16)))];
  const names = data.kinds.map(k => k.material);
  const alike = [-1, ...names.map(name => names.indexOf(name))];
  return { data, alike, size: [wide, deep, high], stride, place, cells, colours, room: (wide + 2) * stride[0], ...tabled(data.kinds) };
};

/** What stands once a step is done, up to a layer.  grid: kinds by place.  list: cells.  Without a step, all;
    with alone, only what the step sets. */
const standing = (house, { step, layer, alone }) => {
  const grid = new Uint16Array(house.room), fresh = new Uint8Array(house.room), list = [];
  for (const cell of house.cells) {
    const [place, kind, set, struck] = cell;
    const here = step ? set <= step && step < struck && !(alone && set < step) : struck === Infinity;
    if (!here || place % house.stride[1] - 1 > layer) continue;
    grid[place] = kind;
    fresh[place] = !step || set === step || struck < Infinity ? 1 : 0;
    list.push(cell);
  }
  return { grid, fresh, list };
};

/** What a function gives for a whole number, remembered. */
const remembered = give => {
  const known = new Map();
  return key => {
    if (!known.has(key)) known.set(key, give(key));
    return known.get(key);
  };
};

/** Rectangles u, v, u, v that a mask of quarters is made of, one after another. */
const rectangles = remembered(mask => {
  const found = [];
  for (let left = mask, u = 0; u < 4; u++) for (let v = 0; v < 4; v++) {
    if (!(left >> (4 * u + v) & 1)) continue;
    let w = v;
    while (w < 4 && left >> (4 * u + w) & 1) w++;
    const strip = ((1 << (w - v)) - 1) << v;
    let t = u;
    while (t < 4 && (left >> (4 * t) & strip) === strip) left &= ~(strip << (4 * t++));
    found.push(u, v, t, w);
  }
  return found;
});

const rowOf = (mask, u) => mask >> 4 * u & 15;
const columnOf = (mask, v) => mask >> v & 1 | mask >> (v + 3) & 2 | mask >> (v + 6) & 4 | mask >> (v + 9) & 8;

/** Lines u, v, u, v round the quarters of a mask, the low half of a key; along the rims of the cell only where
    the quarters beside them, down and up u, down and up v, four bits each in the high half, do not go on. */
const outlines = remembered(key => {
  const mask = key % 65536, beside = Math.floor(key / 65536), found = [];
  const between = (of, n, low) => n === 0 ? of(mask, 0) & ~rowOf(beside, low) : n === 4 ? of(mask, 3) & ~rowOf(beside, low + 1) : of(mask, n - 1) ^ of(mask, n);
  for (let n = 0; n <= 4; n++) {
    const [rows, columns] = [between(rowOf, n, 0), between(columnOf, n, 2)].map(rectangles);
    for (let k = 0; k < rows.length; k += 4) found.push(n, rows[k + 1], n, rows[k + 3]);
    for (let k = 0; k < columns.length; k += 4) found.push(columns[k + 1], n, columns[k + 3], n);
  }
  return found;
});

/** Words of sixteen bits that grow as they are needed. */
class Words {
  constructor() { this.data = new Uint16Array(1 << 18); this.used = 0; }
  room(more) {
    if (this.used + more <= this.data.length) return;
    const larger = new Uint16Array(2 * this.data.length);
    larger.set(this.data);
    this.data = larger;
  }
  get all() { return this.data.subarray(0, this.used); }
}

/** faces: x, y, z in quarters, red and green, blue and freshness, four times for each rectangle.
    lines: x, y, z, freshness, twice for each. */
const meshed = (house, { grid, fresh, list }) => {
  const { face, edge, dense, stride, colours, alike } = house;
  const faces = new Words(), lines = new Words(), corner = [0, 0, 0], shades = [0, 0, 0, 0];
  const seen = (at, side, slice) => {
    const mask = face[grid[at] * 24 + side * 4 + slice];
    if (!mask || slice !== (side & 1 ? 0 : 3)) return mask;
    return mask & ~edge[grid[at + (side & 1 ? -1 : 1) * stride[side >> 1]] * 6 + (side ^ 1)];
  };
  const goesOn = (at, next, side, slice) =>
    alike[grid[next]] === alike[grid[at]] && fresh[next] === fresh[at] ? seen(next, side, slice) : 0;
  const shaded = (before, du, dv) => {
    const one = dense[grid[before + du]], other = dense[grid[before + dv]];
    return SHADE[one && other ? 3 : one + other + dense[grid[before + du + dv]]];
  };
  const put = (words, axis, across, a, b) => {
    const [along, aside] = ACROSS[axis];
    words.data[words.used + axis] = across;
    words.data[words.used + along] = corner[along] + a;
    words.data[words.used + aside] = corner[aside] + b;
    words.used += 3;
  };
  const vertex = (colour, light, bright, axis, across, a, b) => {
    const lit = light * ((shades[0] * (4 - b) + shades[1] * b) * (4 - a) + (shades[2] * (4 - b) + shades[3] * b) * a) / 16;
    put(faces, axis, across, a, b);
    faces.data[faces.used++] = colour[0] * lit | (colour[1] * lit & 255) << 8;
    faces.data[faces.used++] = colour[2] * lit | (bright ? 0xff00 : 0);
  };
  const slab = (at, side, slice, mask) => {
    const axis = side >> 1, down = side & 1, across = corner[axis] + slice + 1 - down;
    const du = stride[ACROSS[axis][0]], dv = stride[ACROSS[axis][1]], bright = fresh[at];
    const before = slice === (down ? 0 : 3) ? at + (down ? -1 : 1) * stride[axis] : at;
    for (let n = 0; n < 4; n++) shades[n] = shaded(before, n & 2 ? du : -du, n & 1 ? dv : -dv);
    const some = rectangles(mask), colour = colours[grid[at]], light = LIGHT[side];
    faces.room(5 * some.length);
    for (let k = 0; k < some.length; k += 4) {
      vertex(colour, light, bright, axis, across, some[k], some[k + 1]);
      vertex(colour, light, bright, axis, across, some[k + 2], some[k + 1]);
      vertex(colour, light, bright, axis, across, some[k + 2], some[k + 3]);
      vertex(colour, light, bright, axis, across, some[k], some[k + 3]);
    }
    const beside = rowOf(goesOn(at, at - du, side, slice), 3) | rowOf(goesOn(at, at + du, side, slice), 0) << 4
      | columnOf(goesOn(at, at - dv, side, slice), 3) << 8 | columnOf(goesOn(at, at + dv, side, slice), 0) << 12;
    const rims = outlines(mask + beside * 65536);
    lines.room(2 * rims.length);
    for (let k = 0; k < rims.length; k += 2) {
      put(lines, axis, across, rims[k], rims[k + 1]);
      lines.data[lines.used++] = bright;
    }
  };
  for (const [at] of list) {
    for (let axis = 0, left = at; axis < 3; left %= stride[axis++]) corner[axis] = SUB * (Math.floor(left / stride[axis]) - 1);
    for (let n = 0; n < 24; n++) {
      const mask = seen(at, n >> 2, n & 3);
      if (mask) slab(at, n >> 2, n & 3, mask);
    }
  }
  return { faces: faces.all, lines: lines.all };
};

/** The place of the first piece that a ray meets, or 0, going from quarter to quarter.  from, along: in cells,
    from beyond the house. */
const met = (house, grid, from, direction) => {
  const along = direction.map(n => n || 1e-9), long = house.size.map(n => SUB * n);
  const ends = house.size.map((n, axis) => [0, n].map(end => (end - from[axis]) / along[axis]).sort((a, b) => a - b));
  const near = Math.max(...ends.map(e => e[0])) + 1e-9;
  const start = from.map((n, axis) => SUB * (n + near * along[axis])), at = start.map(Math.floor);
  const next = start.map((n, axis) => (at[axis] + (along[axis] > 0) - n) / along[axis]);
  while (at.every((n, axis) => n >= 0 && n < long[axis])) {
    const place = house.place(...at.map(n => n >> 2)), kind = grid[place];
    if (kind && filled(house.data.kinds[kind - 1].bits, ...at.map(n => n & 3))) return place;
    const axis = next.indexOf(Math.min(...next));
    at[axis] += Math.sign(along[axis]);
    next[axis] += Math.abs(1 / along[axis]);
  }
  return 0;
};
