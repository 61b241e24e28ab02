// The end view, along the jaws: what holds the work, how far it stands out, and how deep the cutter is.

class EndView {
  constructor(canvas) {
    const { work, fixedJaw, movableJaw, bed } = facts.boxes;
    const room = (work[1][2] - work[0][2]) * 0.75;
    const left = movableJaw[0][1] - (movableJaw[1][1] - movableJaw[0][1]) * 0.2;
    this.paper = new Paper(
      canvas,
      [left, Math.max(bed[0][2], bed[1][2] - 6)],
      [fixedJaw[1][1] + (fixedJaw[1][1] - fixedJaw[0][1]) * 0.2, work[1][2] + room],
      [40, 24],
    );
  }

  draw({ metal, route, tip, tool, sharp }) {
    const paper = this.paper;
    const { work, fixedJaw, movableJaw, bed, parallels, jawTop } = facts.boxes;
    paper.begin(sharp);
    const ink = paper.ink;
    ink.save();
    ink.beginPath();
    ink.rect(paper.x(paper.low[0]), paper.y(paper.high[1]), (paper.high[0] - paper.low[0]) * paper.scale, (paper.high[1] - paper.low[1]) * paper.scale);
    ink.clip();
    for (const box of [bed, movableJaw, fixedJaw]) paper.box(box[0].slice(1), box[1].slice(1), 0.9, CHAIN);
    for (const box of parallels) paper.box(box[0].slice(1), box[1].slice(1), 0.9, CHAIN, "#e4e4e4");
    paper.shape(this.outline(metal), "#f2f2f2", 1.8);
    if (tool) this.cutter(tip, tool, this.beside(tip, work));
    route.findings.forEach(({ at, letter }, i) => cross(ink, paper.x(at[1]), paper.y(at[2]), letter, i));
    ink.restore();
    this.sizes(work, jawTop, tool && this.hides(tip, work) ? 1 : -1);
  }

  /** The work's outline: for each row of cells the highest. */
  outline(metal) {
    const { nx, ny, z, low, high } = metal;
    const dy = (high[1] - low[1]) / ny;
    const points = [[low[1], low[2]]];
    for (let j = 0; j < ny; j += 1) {
      let top = low[2];
      for (let i = j * nx; i < (j + 1) * nx; i += 1) if (z[i] > top) top = z[i];
      points.push([low[1] + j * dy, top], [low[1] + (j + 1) * dy, top]);
    }
    points.push([high[1], low[2]]);
    return points;
  }

  /** Whether the cutter's axis is past an end of the work: in this view it would seem to be cutting deep into it. */
  beside(tip, work) {
    return tip[0] <= work[0][0] || tip[0] >= work[1][0];
  }

  /** Whether the cutter is where the sizes usually stand: low, and at the work's front. */
  hides(tip, work) {
    return tip[2] < work[1][2] && tip[1] < (work[0][1] + work[1][1]) / 2;
  }

  /** The cutter; dashed and seen through where it is beside the work. */
  cutter(tip, tool, beside) {
    const right = tool.profile.map(([radius, height]) => [tip[1] + radius, tip[2] + height]);
    const left = tool.profile.map(([radius, height]) => [tip[1] - radius, tip[2] + height]).reverse();
    if (beside) this.paper.shape([...right, ...left], "transparent", 0.9, DASHES);
    else this.paper.shape([...right, ...left], "rgba(255, 255, 255, 0.7)", 1.4);
    const top = Math.min(this.paper.high[1], tip[2] + tool.profile[tool.profile.length - 1][1]);
    this.paper.line([[tip[1], tip[2] - 3], [tip[1], top]], 0.8, [8, 2, 2, 2]);
  }

  /** Stick-out and grip, outside the left (-1) or the right (1) side of the work. */
  sizes(work, jawTop, side) {
    const paper = this.paper;
    const x = paper.x(work[side < 0 ? 0 : 1][1]) + side * 10;
    for (const [from, to, text] of [
      [jawTop, work[1][2], `stick-out ${facts.words.stickOut}`],
      [work[0][2], jawTop, `grip ${facts.words.grip}`],
    ]) {
      const [a, b] = [paper.y(from), paper.y(to)];
      const ink = paper.ink;
      ink.beginPath();
      ink.moveTo(x, a - 1);
      ink.lineTo(x, b + 1);
      for (const [y, way] of [[a, -1], [b, 1]]) {
        ink.moveTo(x - 2.5, y + way * 6);
        ink.lineTo(x, y + way);
        ink.lineTo(x + 2.5, y + way * 6);
        ink.moveTo(x + side * 4, y);
        ink.lineTo(x - side * 8, y);
      }
      ink.lineWidth = 0.9;
      ink.strokeStyle = INK;
      ink.stroke();
      paper.words(text, x + side * 5, (a + b) / 2, { align: side < 0 ? "right" : "left" });
    }
  }
}
