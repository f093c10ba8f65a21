/** A Float64Array that grows; plain arrays of millions of numbers cost three times the memory. */
export class GrowingFloats {
  data = new Float64Array(1024);
  length = 0;

  push(value: number): void {
    if (this.length === this.data.length) {
      const wider = new Float64Array(this.data.length * 2);
      wider.set(this.data);
      this.data = wider;
    }
    this.data[this.length++] = value;
  }

  done(): Float64Array {
    return this.data.slice(0, this.length);
  }
}

/** An Int32Array that grows. */
export class GrowingInts {
  data = new Int32Array(1024);
  length = 0;

  push(value: number): void {
    if (this.length === this.data.length) {
      const wider = new Int32Array(this.data.length * 2);
      wider.set(this.data);
      this.data = wider;
    }
    this.data[this.length++] = value;
  }

  done(): Int32Array {
    return this.data.slice(0, this.length);
  }
}
