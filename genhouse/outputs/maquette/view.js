/* What WebGL shows of a house: faces and lines, seen from far away, without perspective. */
"use strict";
const PROJECTED = `
  uniform vec3 middle, right, up, into;
  vec4 projected(vec3 place) {
    vec3 q = place / 4.0 - middle;
    return vec4(dot(q, right), dot(q, up), dot(q, into), 1.0);
  }`;
const FACES = [`#version 300 es
  in vec3 place; in vec4 colour; out vec3 shown;
  uniform vec3 wash;
  ${PROJECTED}
  void main() {
    gl_Position = projected(place);
    shown = mix(wash, colour.rgb, colour.a > 0.5 ? 1.0 : 0.5);
  }`, `#version 300 es
  precision mediump float;
  in vec3 shown; out vec4 ink;
  void main() { ink = vec4(shown, 1.0); }`];
const LINES = [`#version 300 es
  in vec3 place; in float fresh; out float strong;
  ${PROJECTED}
  void main() { gl_Position = projected(place); strong = fresh; }`, `#version 300 es
  precision mediump float;
  in float strong; out vec4 ink;
  uniform vec3 line;
  void main() { ink = vec4(line, 1.0) * (strong > 0.5 ? 0.6 : 0.22); }`];

const programmed = (gl, sources) => {
  const program = gl.createProgram();
  sources.forEach((source, n) => {
    const shader = gl.createShader(n ? gl.FRAGMENT_SHADER : gl.VERTEX_SHADER);
    gl.shaderSource(shader, source);
    gl.compileShader(shader);
    gl.attachShader(program, shader);
  });
  gl.linkProgram(program);
  return program;
};

/** Which way the drawing's right, up and depth lie in the world; yaw 0 looks north, tilt is downward. */
const frameOf = ({ yaw, tilt }) => {
  const [s, c] = [Math.sin(yaw), Math.cos(yaw)], [st, ct] = [Math.sin(tilt), Math.cos(tilt)];
  return { right: [c, s, 0], up: [-s * st, c * st, ct], into: [-s * ct, c * ct, -st] };
};

/** Shows meshes on a canvas; nothing where there is no WebGL 2. */
const viewOn = canvas => {
  const gl = canvas.getContext("webgl2", { antialias: true, alpha: true });
  if (!gl) return null;
  const faces = programmed(gl, FACES), lines = programmed(gl, LINES);
  const stores = [0, 1, 2, 3].map(() => gl.createBuffer());
  let counts = [0, 0, 0], numbered = 0;
  const hold = (store, words) => {
    gl.bindBuffer(gl.ARRAY_BUFFER, stores[store]);
    gl.bufferData(gl.ARRAY_BUFFER, words, gl.DYNAMIC_DRAW);
  };
  const number = quads => {
    if (quads <= numbered) return;
    const numbers = new Uint32Array(6 * quads);
    for (let n = 0; n < numbers.length; n++) numbers[n] = 4 * Math.floor(n / 6) + [0, 1, 2, 0, 2, 3][n % 6];
    gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, stores[3]);
    gl.bufferData(gl.ELEMENT_ARRAY_BUFFER, numbers, gl.STATIC_DRAW);
    numbered = quads;
  };
  const read = (program, name, size, type, stride, offset) => {
    const at = gl.getAttribLocation(program, name);
    gl.enableVertexAttribArray(at);
    gl.vertexAttribPointer(at, size, type, type === gl.UNSIGNED_BYTE, stride, offset);
  };
  const use = (program, uniforms) => {
    gl.useProgram(program);
    for (const [name, value] of Object.entries(uniforms)) gl.uniform3fv(gl.getUniformLocation(program, name), value);
  };
  const drawLines = (store, count, uniforms) => {
    use(lines, uniforms);
    gl.bindBuffer(gl.ARRAY_BUFFER, stores[store]);
    read(lines, "place", 3, gl.UNSIGNED_SHORT, 8, 0);
    read(lines, "fresh", 1, gl.UNSIGNED_SHORT, 8, 6);
    gl.drawArrays(gl.LINES, 0, count);
  };
  return {
    /** Takes a mesh; and lines of their own as marks. */
    take(mesh) {
      hold(0, mesh.faces);
      hold(1, mesh.lines);
      counts = [mesh.faces.length / 20, mesh.lines.length / 4, counts[2]];
      number(counts[0]);
    },
    mark(words) {
      hold(2, words);
      counts[2] = words.length / 4;
    },
    /** camera: yaw, tilt, across (cells that the canvas is high), pan, middle, reach.  colours: 0 to 1. */
    draw(camera, { wash, line, mark }) {
      const size = [canvas.clientWidth, canvas.clientHeight].map(n => Math.max(1, Math.round(n * devicePixelRatio)));
      if (canvas.width !== size[0] || canvas.height !== size[1]) [canvas.width, canvas.height] = size;
      const frame = frameOf(camera), scale = 2 / camera.across;
      const scaled = (vector, by) => vector.map(n => n * by);
      const middle = camera.middle.map((n, axis) => n + camera.pan[0] * frame.right[axis] + camera.pan[1] * frame.up[axis]);
      const uniforms = {
        middle, right: scaled(frame.right, scale * size[1] / size[0]), up: scaled(frame.up, scale), into: scaled(frame.into, 1 / camera.reach),
      };
      gl.viewport(0, 0, ...size);
      gl.clearColor(0, 0, 0, 0);
      gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
      gl.enable(gl.DEPTH_TEST);
      gl.depthFunc(gl.LEQUAL);
      gl.enable(gl.POLYGON_OFFSET_FILL);
      gl.polygonOffset(1, 1);
      gl.disable(gl.BLEND);
      use(faces, { ...uniforms, wash });
      gl.bindBuffer(gl.ARRAY_BUFFER, stores[0]);
      read(faces, "place", 3, gl.UNSIGNED_SHORT, 10, 0);
      read(faces, "colour", 4, gl.UNSIGNED_BYTE, 10, 6);
      gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, stores[3]);
      gl.drawElements(gl.TRIANGLES, 6 * counts[0], gl.UNSIGNED_INT, 0);
      gl.enable(gl.BLEND);
      gl.blendFunc(gl.ONE, gl.ONE_MINUS_SRC_ALPHA);
      drawLines(1, counts[1], { ...uniforms, line });
      gl.disable(gl.DEPTH_TEST);
      drawLines(2, counts[2], { ...uniforms, line: mark });
    },
    close() { gl.getExtension("WEBGL_lose_context")?.loseContext(); },
  };
};
