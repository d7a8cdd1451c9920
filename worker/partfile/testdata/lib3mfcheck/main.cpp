// Opens 3MF files with lib3mf 1.8.1 (Debian packages lib3mf-dev, lib3mf1) in
// strict mode, so that another program than ours says whether what we write is
// sound 3MF, and where its parts lie.
//
// Build:  g++ -std=c++17 -O1 -Wall -o lib3mfcheck main.cpp -I/usr/include/lib3mf -l3MF
// Run:    lib3mfcheck FILE...
// Prints: a line "item FACETS LOWX LOWY LOWZ HIGHX HIGHY HIGHZ" for each build
//         item: the number of its triangles and the box around it as placed, in
//         the model's unit.
// Exit:   0 if every file opened without an error or a warning and each object
//         is valid (lib3mf: manifold and oriented); 1 otherwise; 2 on wrong use.
#include <algorithm>
#include <cstdio>
#include <limits>
#include <string>

#include "Model/COM/NMR_DLLInterfaces.h"

using namespace NMR;

namespace {

// A handle that is released at the end of its scope.
struct Handle {
	PLib3MFBase *instance = nullptr;
	~Handle() {
		if (instance != nullptr) {
			lib3mf_release(instance);
		}
	}
};

bool failed(const char *file, const char *step, LIB3MFRESULT result) {
	if (result == LIB3MF_OK) {
		return false;
	}
	std::fprintf(stderr, "%s: %s: error 0x%lx\n", file, step, static_cast<unsigned long>(result));
	return true;
}

bool read(const char *file, PLib3MFModel *model) {
	Handle reader;
	if (failed(file, "reader", lib3mf_model_queryreader(model, "3mf", &reader.instance)) ||
		failed(file, "strict mode", lib3mf_reader_setstrictmodeactive(reader.instance, 1))) {
		return false;
	}
	bool whole = !failed(file, "read", lib3mf_reader_readfromfileutf8(reader.instance, file));
	if (!whole) {
		DWORD code = 0;
		LPCSTR text = nullptr;
		lib3mf_getlasterror(reader.instance, &code, &text);
		std::fprintf(stderr, "%s: error 0x%x: %s\n", file, static_cast<unsigned>(code), text != nullptr ? text : "");
	}
	DWORD warnings = 0;
	if (failed(file, "warnings", lib3mf_reader_getwarningcount(reader.instance, &warnings))) {
		return false;
	}
	for (DWORD i = 0; i < warnings; i++) {
		DWORD code = 0;
		ULONG needed = 0;
		std::string text(1024, '\0');
		lib3mf_reader_getwarningutf8(reader.instance, i, &code, text.data(), text.size() - 1, &needed);
		std::fprintf(stderr, "%s: warning 0x%x: %s\n", file, static_cast<unsigned>(code), text.c_str());
		whole = false;
	}
	return whole;
}

bool describe(const char *file, PLib3MFModelBuildItem *item) {
	Handle object;
	MODELTRANSFORM by;
	BOOL valid = 0, mesh = 0;
	DWORD facets = 0, vertices = 0;
	if (failed(file, "object", lib3mf_builditem_getobjectresource(item, &object.instance)) ||
		failed(file, "kind", lib3mf_object_ismeshobject(object.instance, &mesh))) {
		return false;
	}
	if (!mesh) {
		std::fprintf(stderr, "%s: an object is no mesh\n", file);
		return false;
	}
	if (failed(file, "transform", lib3mf_builditem_getobjecttransform(item, &by)) ||
		failed(file, "validity", lib3mf_object_isvalidobject(object.instance, &valid)) ||
		failed(file, "triangles", lib3mf_meshobject_gettrianglecount(object.instance, &facets)) ||
		failed(file, "vertices", lib3mf_meshobject_getvertexcount(object.instance, &vertices))) {
		return false;
	}
	const float inf = std::numeric_limits<float>::infinity();
	float low[3] = {inf, inf, inf}, high[3] = {-inf, -inf, -inf};
	for (DWORD i = 0; i < vertices; i++) {
		MODELMESHVERTEX v;
		if (failed(file, "vertex", lib3mf_meshobject_getvertex(object.instance, i, &v))) {
			return false;
		}
		for (int k = 0; k < 3; k++) {
			float x = by.m_fFields[k][3];
			for (int j = 0; j < 3; j++) {
				x += by.m_fFields[k][j] * v.m_fPosition[j];
			}
			low[k] = std::min(low[k], x);
			high[k] = std::max(high[k], x);
		}
	}
	std::printf("item %u %.9g %.9g %.9g %.9g %.9g %.9g\n", static_cast<unsigned>(facets),
		low[0], low[1], low[2], high[0], high[1], high[2]);
	if (!valid) {
		std::fprintf(stderr, "%s: an object is not manifold and oriented\n", file);
	}
	return valid;
}

bool check(const char *file) {
	Handle model;
	if (failed(file, "model", lib3mf_createmodel(&model.instance)) || !read(file, model.instance)) {
		return false;
	}
	Handle items;
	if (failed(file, "items", lib3mf_model_getbuilditems(model.instance, &items.instance))) {
		return false;
	}
	bool sound = true;
	for (;;) {
		BOOL more = 0;
		if (failed(file, "next item", lib3mf_builditemiterator_movenext(items.instance, &more))) {
			return false;
		}
		if (!more) {
			return sound;
		}
		Handle item;
		if (failed(file, "item", lib3mf_builditemiterator_getcurrent(items.instance, &item.instance))) {
			return false;
		}
		sound = describe(file, item.instance) && sound;
	}
}

} // namespace

int main(int argc, char **argv) {
	if (argc < 2) {
		std::fprintf(stderr, "usage: lib3mfcheck FILE...\n");
		return 2;
	}
	bool sound = true;
	for (int i = 1; i < argc; i++) {
		sound = check(argv[i]) && sound;
	}
	return sound ? 0 : 1;
}
