#include "field/shell/gl_window.h"

#include <backends/imgui_impl_opengl3.h>
#include <imgui.h>

#define GL_GLEXT_PROTOTYPES 0
#include <SDL_opengl.h>

#include <utility>

namespace field::shell {
namespace {

/// The few calls that Dear ImGui's own loader does not hand out.
template <class Call, class Loader> Call gl(Loader loader, const char* name)
{
    return reinterpret_cast<Call>(loader(name));
}

using GenTextures    = void(APIENTRY*)(GLsizei, GLuint*);
using DeleteTextures = void(APIENTRY*)(GLsizei, const GLuint*);
using BindTexture    = void(APIENTRY*)(GLenum, GLuint);
using TexParameteri  = void(APIENTRY*)(GLenum, GLenum, GLint);
using TexImage2D     = void(APIENTRY*)(GLenum, GLint, GLint, GLsizei, GLsizei, GLint, GLenum, GLenum,
                                   const void*);
using Viewport       = void(APIENTRY*)(GLint, GLint, GLsizei, GLsizei);
using ClearColor     = void(APIENTRY*)(GLfloat, GLfloat, GLfloat, GLfloat);
using Clear          = void(APIENTRY*)(GLbitfield);

} // namespace

bool GlDrawing::start(Loader loader)
{
    loader_  = loader;
    started_ = ImGui_ImplOpenGL3_Init("#version 130");
    return started_;
}

void GlDrawing::stop()
{
    if (std::exchange(started_, false)) ImGui_ImplOpenGL3_Shutdown();
}

void GlDrawing::letters_changed()
{
    ImGui_ImplOpenGL3_DestroyFontsTexture();
    ImGui_ImplOpenGL3_CreateFontsTexture();
}

void GlDrawing::new_frame()
{
    ImGui_ImplOpenGL3_NewFrame();
}

void GlDrawing::draw(look::Colour ground, int w_px, int h_px)
{
    const auto share = [](std::uint8_t channel) { return static_cast<float>(channel) / 255.0F; };
    gl<Viewport>(loader_, "glViewport")(0, 0, w_px, h_px);
    gl<ClearColor>(loader_, "glClearColor")(share(ground.r), share(ground.g), share(ground.b), 1.0F);
    gl<Clear>(loader_, "glClear")(GL_COLOR_BUFFER_BIT);
    ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
}

engine::Result<look::Texture> GlDrawing::upload(const Image& picture)
{
    const auto bytes = static_cast<std::size_t>(picture.w) * static_cast<std::size_t>(picture.h) * 4;
    if (picture.w <= 0 || picture.h <= 0 || picture.rgba.size() != bytes)
        return engine::failure(engine::Fault::bad_input, "The picture to show is empty or cut short.");
    GLuint id = 0;
    gl<GenTextures>(loader_, "glGenTextures")(1, &id);
    gl<BindTexture>(loader_, "glBindTexture")(GL_TEXTURE_2D, id);
    const auto parameter = gl<TexParameteri>(loader_, "glTexParameteri");
    parameter(GL_TEXTURE_2D, GL_TEXTURE_MIN_FILTER, GL_LINEAR);
    parameter(GL_TEXTURE_2D, GL_TEXTURE_MAG_FILTER, GL_LINEAR);
    parameter(GL_TEXTURE_2D, GL_TEXTURE_WRAP_S, GL_CLAMP_TO_EDGE);
    parameter(GL_TEXTURE_2D, GL_TEXTURE_WRAP_T, GL_CLAMP_TO_EDGE);
    gl<TexImage2D>(loader_, "glTexImage2D")(GL_TEXTURE_2D, 0, GL_RGBA, picture.w, picture.h, 0, GL_RGBA,
                                            GL_UNSIGNED_BYTE, picture.rgba.data());
    return look::Texture{id, picture.w, picture.h};
}

void GlDrawing::release(look::Texture texture)
{
    if (!texture) return;
    const auto id = static_cast<GLuint>(texture.id);
    gl<DeleteTextures>(loader_, "glDeleteTextures")(1, &id);
}

} // namespace field::shell
