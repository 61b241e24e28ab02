// The pictorial view: faces of part, vise and parallels with ink along their edges, the cutter half seen through.

// what is painted and is no part of the work, each as a paint number
const JAW = -1;
const BED = -2;
const PARALLEL = -3;
const SIDES_OF_CUTTER = 40;

const FACE_VERTEX = `#version 300 es
uniform sampler2D faces;
uniform mat4 view;
uniform vec3 colours[6];
uniform float fine;
flat out vec4 paint;
const float light[5] = float[5](1.0, 0.80, 0.72, 0.76, 0.90);
void main() {
  int number = gl_VertexID / 6;
  int corner = gl_VertexID % 6;
  float u = corner == 1 || corner == 4 || corner == 5 ? 1.0 : 0.0;
  float v = corner == 2 || corner == 3 || corner == 5 ? 1.0 : 0.0;
  ivec2 at = ivec2(number % ${FACES_ACROSS} * 2, number / ${FACES_ACROSS});
  vec4 first = texelFetch(faces, at, 0);
  vec4 second = texelFetch(faces, at + ivec2(1, 0), 0);
  vec3 low = first.xyz;
  vec3 high = vec3(first.w, second.xy);
  int face = int(second.z);
  int paintNumber = int(second.w);
  // neighbours overlap a little, so that no gap shows where a long one meets two short ones
  vec3 from = low - 0.01;
  vec3 to = high + 0.01;
  vec3 place = face == 0 ? vec3(mix(from.x, to.x, u), mix(from.y, to.y, v), high.z)
    : face < 3 ? vec3(low.x, mix(from.y, to.y, u), mix(low.z, high.z, v))
    : vec3(mix(from.x, to.x, u), low.y, mix(low.z, high.z, v));
  gl_Position = view * vec4(place, 1.0);
  int shade = paintNumber % 8;
  vec3 colour = paintNumber == 0 ? vec3(0.93)
    : paintNumber == ${PARALLEL} ? vec3(0.80)
    : paintNumber == ${BED} ? vec3(0.95)
    : paintNumber == ${JAW} ? vec3(0.985)
    : mix(vec3(1.0), colours[shade - 1], 0.55);
  // on a slope, from cell to cell, there is no edge but where it passes a whole millimetre
  bool slope = face > 0 && paintNumber >= 0 && high.z - low.z < fine;
  float level = face == 0 || slope ? floor(high.z + 0.001) : 0.0;
  float mark = mod(abs(second.w) * 29.0 + float(slope ? 0 : face) * 47.0 + level * 7.0, 250.0);
  paint = vec4(colour * light[face], (mark + 4.0) / 255.0);
}`;

const FACE_FRAGMENT = `#version 300 es
precision mediump float;
flat in vec4 paint;
out vec4 colour;
void main() { colour = paint; }`;

const CUTTER_VERTEX = `#version 300 es
layout(location = 0) in vec2 place;
layout(location = 1) in vec2 round;
uniform mat4 view;
uniform vec3 tip;
uniform vec2 sideways;
out vec4 seen;
void main() {
  vec2 outwards = vec2(cos(round.x), sin(round.x));
  gl_Position = view * vec4(tip + vec3(place.x * outwards, place.y), 1.0);
  seen = vec4(dot(outwards, sideways), place.y, round);
}`;

const CUTTER_FRAGMENT = `#version 300 es
precision mediump float;
in vec4 seen;
uniform float fluteLength;
uniform float flutes;
uniform float spin;
out vec4 colour;
void main() {
  bool upright = seen.w > 0.5;
  float shade = upright ? 0.66 + 0.22 * seen.x : 0.45;
  if (upright && seen.y < fluteLength) {
    float part = fract(flutes * (seen.z / 6.2831853) + spin + seen.y / (fluteLength + 1.0) * 0.6);
    shade *= part < 0.22 ? 0.45 : 0.95;
  } else shade *= 1.12;
  bool rim = upright && abs(seen.x) > 0.965;
  colour = vec4(vec3(rim ? 0.07 : shade), rim ? 0.9 : seen.y < fluteLength ? 0.75 : 0.5);
}`;

const SHEET_VERTEX = `#version 300 es
void main() { gl_Position = vec4(gl_VertexID == 1 ? 3.0 : -1.0, gl_VertexID == 2 ? 3.0 : -1.0, 0.0, 1.0); }`;

// a face's number stands in the picture's fourth channel: where it changes there is an edge
const SHEET_FRAGMENT = `#version 300 es
precision mediump float;
uniform sampler2D picture;
out vec4 colour;
void main() {
  ivec2 at = ivec2(gl_FragCoord.xy);
  vec4 here = texelFetch(picture, at, 0);
  float left = texelFetch(picture, at - ivec2(1, 0), 0).a;
  float below = texelFetch(picture, at - ivec2(0, 1), 0).a;
  bool edge = here.a != left || here.a != below;
  colour = vec4(edge ? vec3(0.07) : here.rgb, 1.0);
}`;

class Pictorial {
  constructor(canvas) {
    this.canvas = canvas;
    const gl = canvas.getContext("webgl2", { antialias: false, alpha: false });
    if (!gl) throw new Error("no WebGL 2");
    this.gl = gl;
    this.programs = {
      face: program(gl, FACE_VERTEX, FACE_FRAGMENT),
      cutter: program(gl, CUTTER_VERTEX, CUTTER_FRAGMENT),
      sheet: program(gl, SHEET_VERTEX, SHEET_FRAGMENT),
    };
    this.solids = new Map();
    this.cutters = new Map();
    for (const [number, told] of Object.entries(facts.cutters)) this.cutters.set(Number(number), this.turned(told));
    this.nothing = gl.createVertexArray();
    this.size = [0, 0];
  }

  /** A place for faces: two texels for each, as many instances of four corners take a software renderer far longer. */
  place() {
    const gl = this.gl;
    const texture = gl.createTexture();
    gl.bindTexture(gl.TEXTURE_2D, texture);
    for (const filter of [gl.TEXTURE_MIN_FILTER, gl.TEXTURE_MAG_FILTER]) gl.texParameteri(gl.TEXTURE_2D, filter, gl.NEAREST);
    return { texture, rows: 0, count: 0 };
  }

  /** Puts `count` faces, whose numbers stand at the start of an array with room for whole rows, into their place. */
  upload(place, numbers, count) {
    const gl = this.gl;
    const rows = Math.max(1, Math.ceil(count / FACES_ACROSS));
    gl.bindTexture(gl.TEXTURE_2D, place.texture);
    if (rows > place.rows) {
      place.rows = rows * 2;
      gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA32F, FACES_ACROSS * 2, place.rows, 0, gl.RGBA, gl.FLOAT, null);
    }
    const part = numbers.subarray(0, rows * ROW_NUMBERS);
    gl.texSubImage2D(gl.TEXTURE_2D, 0, 0, 0, FACES_ACROSS * 2, rows, gl.RGBA, gl.FLOAT, part);
    place.count = count;
  }

  /** Gives back what was kept for faces that are not drawn again. */
  forget(faces) {
    const solid = this.solids.get(faces);
    if (!solid) return;
    this.gl.deleteTexture(solid.texture);
    this.solids.delete(faces);
  }

  /** A cutter's outline turned round its axis. */
  turned(told) {
    const gl = this.gl;
    const numbers = [];
    for (let i = 0; i + 1 < told.profile.length; i += 1) {
      const [a, b] = [told.profile[i], told.profile[i + 1]];
      const upright = Math.abs(b[1] - a[1]) > Math.abs(b[0] - a[0]) ? 1 : 0;
      for (let k = 0; k < SIDES_OF_CUTTER; k += 1) {
        const [p, q] = [k, k + 1].map((side) => (side / SIDES_OF_CUTTER) * 2 * Math.PI);
        for (const [at, angle] of [[a, p], [b, q], [b, p], [a, p], [a, q], [b, q]]) numbers.push(...at, angle, upright);
      }
    }
    const array = gl.createVertexArray();
    gl.bindVertexArray(array);
    gl.bindBuffer(gl.ARRAY_BUFFER, gl.createBuffer());
    gl.bufferData(gl.ARRAY_BUFFER, new Float32Array(numbers), gl.STATIC_DRAW);
    gl.enableVertexAttribArray(0);
    gl.vertexAttribPointer(0, 2, gl.FLOAT, false, 16, 0);
    gl.enableVertexAttribArray(1);
    gl.vertexAttribPointer(1, 2, gl.FLOAT, false, 16, 8);
    return { array, count: numbers.length / 4, told };
  }

  /** The picture before its edges are inked. */
  frame(width, height) {
    const gl = this.gl;
    this.target ??= gl.createFramebuffer();
    gl.bindFramebuffer(gl.FRAMEBUFFER, this.target);
    if (this.size[0] === width && this.size[1] === height) return;
    this.size = [width, height];
    if (this.picture) gl.deleteTexture(this.picture);
    if (this.depth) gl.deleteRenderbuffer(this.depth);
    this.depth = gl.createRenderbuffer();
    gl.bindRenderbuffer(gl.RENDERBUFFER, this.depth);
    gl.renderbufferStorage(gl.RENDERBUFFER, gl.DEPTH_COMPONENT24, width, height);
    gl.framebufferRenderbuffer(gl.FRAMEBUFFER, gl.DEPTH_ATTACHMENT, gl.RENDERBUFFER, this.depth);
    this.picture = gl.createTexture();
    gl.bindTexture(gl.TEXTURE_2D, this.picture);
    gl.texStorage2D(gl.TEXTURE_2D, 1, gl.RGBA8, width, height);
    gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MIN_FILTER, gl.NEAREST);
    gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MAG_FILTER, gl.NEAREST);
    gl.framebufferTexture2D(gl.FRAMEBUFFER, gl.COLOR_ATTACHMENT0, gl.TEXTURE_2D, this.picture, 0);
  }

  /** Draws the work's faces and the vise's, and the cutter if it is given as `{ number, tip, spin }`. */
  draw(faces, fixture, camera, cutter) {
    const gl = this.gl;
    const { width, height } = this.canvas;
    this.frame(width, height);
    const view = camera.matrix(width, height);
    gl.viewport(0, 0, width, height);
    gl.clearColor(1, 1, 1, 0);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    gl.enable(gl.DEPTH_TEST);
    this.drawSolids(faces, fixture, view);
    const shape = cutter ? this.cutters.get(cutter.number) : undefined;
    if (shape) this.drawCutter(shape, cutter, view, camera);
    gl.disable(gl.DEPTH_TEST);
    gl.bindFramebuffer(gl.FRAMEBUFFER, null);
    gl.useProgram(this.programs.sheet.program);
    gl.bindTexture(gl.TEXTURE_2D, this.picture);
    gl.bindVertexArray(this.nothing);
    gl.drawArrays(gl.TRIANGLES, 0, 3);
  }

  drawSolids(faces, fixture, view) {
    const gl = this.gl;
    const solids = [fixture, faces].map((one) => {
      let solid = this.solids.get(one);
      if (!solid) this.solids.set(one, (solid = this.place()));
      if (one.refresh() || solid.count !== one.count) this.upload(solid, one.numbers, one.count);
      return solid;
    });
    const { program: used, at } = this.programs.face;
    gl.useProgram(used);
    gl.uniformMatrix4fv(at("view"), false, view);
    gl.uniform3fv(at("colours"), palette().flat());
    gl.uniform1f(at("fine"), 1.2 * Math.max(faces.dx, faces.dy));
    gl.bindVertexArray(this.nothing);
    for (const { texture, count } of solids) {
      gl.bindTexture(gl.TEXTURE_2D, texture);
      gl.drawArrays(gl.TRIANGLES, 0, 6 * count);
    }
  }

  /** Laid thinly over what is there, so that the work is seen through it; the edges' numbers stay. */
  drawCutter(shape, { tip, spin }, view, camera) {
    const gl = this.gl;
    const { program: used, at } = this.programs.cutter;
    gl.useProgram(used);
    gl.uniformMatrix4fv(at("view"), false, view);
    gl.uniform3fv(at("tip"), tip);
    gl.uniform2fv(at("sideways"), camera.axes()[0].slice(0, 2).map((value) => -value));
    gl.uniform1f(at("fluteLength"), shape.told.fluteLength);
    gl.uniform1f(at("flutes"), shape.told.flutes);
    gl.uniform1f(at("spin"), spin);
    gl.enable(gl.CULL_FACE);
    gl.enable(gl.BLEND);
    gl.blendFunc(gl.SRC_ALPHA, gl.ONE_MINUS_SRC_ALPHA);
    gl.colorMask(true, true, true, false);
    gl.bindVertexArray(shape.array);
    gl.drawArrays(gl.TRIANGLES, 0, shape.count);
    gl.colorMask(true, true, true, true);
    gl.disable(gl.BLEND);
    gl.disable(gl.CULL_FACE);
  }
}

function program(gl, vertex, fragment) {
  const made = gl.createProgram();
  for (const [kind, source] of [[gl.VERTEX_SHADER, vertex], [gl.FRAGMENT_SHADER, fragment]]) {
    const shader = gl.createShader(kind);
    gl.shaderSource(shader, source);
    gl.compileShader(shader);
    if (!gl.getShaderParameter(shader, gl.COMPILE_STATUS)) throw new Error(gl.getShaderInfoLog(shader));
    gl.attachShader(made, shader);
  }
  gl.linkProgram(made);
  if (!gl.getProgramParameter(made, gl.LINK_STATUS)) throw new Error(gl.getProgramInfoLog(made));
  const places = new Map();
  const at = (name) => {
    if (!places.has(name)) places.set(name, gl.getUniformLocation(made, name));
    return places.get(name);
  };
  return { program: made, at };
}
