package partfile

import (
	"fmt"
	"strings"
)

// boxMesh is a box 1 × 2 × 3 with a corner at zero; its volume is 6.
const boxMesh = `<mesh><vertices>
<vertex x="0" y="0" z="0"/><vertex x="1" y="0" z="0"/><vertex x="0" y="2" z="0"/><vertex x="1" y="2" z="0"/>
<vertex x="0" y="0" z="3"/><vertex x="1" y="0" z="3"/><vertex x="0" y="2" z="3"/><vertex x="1" y="2" z="3"/>
</vertices><triangles>
<triangle v1="0" v2="2" v3="1"/><triangle v1="1" v2="2" v3="3"/><triangle v1="4" v2="5" v3="6"/><triangle v1="5" v2="7" v3="6"/>
<triangle v1="0" v2="1" v3="4"/><triangle v1="1" v2="5" v3="4"/><triangle v1="2" v2="6" v3="3"/><triangle v1="3" v2="6" v3="7"/>
<triangle v1="0" v2="4" v3="2"/><triangle v1="2" v2="4" v3="6"/><triangle v1="1" v2="3" v3="5"/><triangle v1="3" v2="7" v3="5"/>
</triangles></mesh>`

const boxObject = `<object id="1" type="model" name="box">` + boxMesh + `</object>`

var boxModel = model(``, boxObject, `<item objectid="1"/>`)

// model wraps resources and items as a model.
func model(attributes, resources, items string) string {
	return fmt.Sprintf(`<?xml version="1.0" encoding="UTF-8"?>
<model %s xmlns="%s"><resources>%s</resources><build>%s</build></model>`, attributes, coreNS, resources, items)
}

// with replaces one text of the box's model by another.
func with(old, new string) string {
	if !strings.Contains(boxModel, old) {
		panic("box model holds no " + old)
	}
	return strings.Replace(boxModel, old, new, 1)
}
