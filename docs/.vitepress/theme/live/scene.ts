import * as THREE from "three";
import { OrbitControls } from "three/examples/jsm/controls/OrbitControls.js";

/** A surface that can be turned by pointer and by arrow keys. */
export interface Scene {
  show(positions: Float64Array, triangles: Uint32Array): void;
  turn(degrees: number): void;
  close(): void;
}

/** A scene on a canvas; undefined where the browser has no WebGL. */
export function createScene(canvas: HTMLCanvasElement): Scene | undefined {
  let renderer: THREE.WebGLRenderer;
  try {
    renderer = new THREE.WebGLRenderer({ canvas, antialias: true, alpha: true });
  } catch {
    return undefined;
  }
  const scene = new THREE.Scene();
  const camera = new THREE.PerspectiveCamera(30, 1, 10, 20000);
  const controls = new OrbitControls(camera, canvas);
  controls.enablePan = false;
  controls.enableZoom = false;
  scene.add(new THREE.HemisphereLight(0xffffff, 0x8a979c, 2.2));
  const sun = new THREE.DirectionalLight(0xffffff, 1.8);
  sun.position.set(0.5, 0.8, 1);
  camera.add(sun);
  scene.add(camera);
  const surface = new THREE.Mesh(
    new THREE.BufferGeometry(),
    new THREE.MeshStandardMaterial({ color: 0x9fb3bb, roughness: 0.9, side: THREE.DoubleSide }),
  );
  scene.add(surface);
  let framed = false;
  const draw = (): void => renderer.render(scene, camera);
  const resize = (): void => {
    const [width, height] = [canvas.clientWidth, canvas.clientHeight];
    renderer.setPixelRatio(Math.min(2, window.devicePixelRatio || 1));
    renderer.setSize(width, height, false);
    camera.aspect = width / Math.max(1, height);
    camera.updateProjectionMatrix();
    draw();
  };
  const watcher = new ResizeObserver(resize);
  watcher.observe(canvas);
  controls.addEventListener("change", draw);
  const turn = (degrees: number): void => {
    camera.position
      .sub(controls.target)
      .applyAxisAngle(new THREE.Vector3(0, 1, 0), (degrees * Math.PI) / 180);
    camera.position.add(controls.target);
    controls.update();
    draw();
  };
  return {
    show(positions, triangles) {
      surface.geometry.dispose();
      const geometry = new THREE.BufferGeometry();
      geometry.setAttribute("position", new THREE.BufferAttribute(Float32Array.from(positions), 3));
      geometry.setIndex(new THREE.BufferAttribute(triangles.slice(), 1));
      geometry.computeVertexNormals();
      geometry.computeBoundingSphere();
      surface.geometry = geometry;
      const { center, radius } = geometry.boundingSphere!;
      if (!framed) {
        controls.target.copy(center);
        camera.position.set(center.x + radius * 3, center.y + radius * 0.5, center.z + radius * 2.2);
        controls.update();
        framed = true;
      }
      draw();
    },
    turn,
    close() {
      watcher.disconnect();
      controls.dispose();
      renderer.dispose();
    },
  };
}
