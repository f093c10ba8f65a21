import { addAllowance } from "@peltry/allowance";
import { flatten } from "@peltry/flatten";
import { readMesh } from "@peltry/forms";
import { layOut } from "@peltry/layout";
import { material } from "@peltry/materials";
import { completeMeasures } from "@peltry/measure";
import { edgesFromOutline } from "@peltry/pattern";
import { writePdf } from "@peltry/print";
import { planSeams } from "@peltry/seams";

globalThis.peltry = {
  ...{ addAllowance, flatten, readMesh, layOut, material, completeMeasures },
  ...{ edgesFromOutline, writePdf, planSeams },
};
