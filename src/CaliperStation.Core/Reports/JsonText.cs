using System.Buffers;
using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;

namespace CaliperStation.Core.Reports;

/// <summary>JSON as text. Control characters are escaped whatever the text is.</summary>
public static class JsonText
{
    private static readonly JsonWriterOptions _indented = new() { Indented = true, NewLine = "\n" };
    private static readonly JsonWriterOptions _line = new() { Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };   // for terminals and pipes, not for web pages: a plus stays a plus

    /// <summary>A document over many lines, with line feeds and one at its end.</summary>
    internal static string Write(Action<Utf8JsonWriter> write) => Text(_indented, write) + "\n";

    /// <summary>One object on one line, without a line feed.</summary>
    /// <param name="members">Writes its members.</param>
    public static string Object(Action<Utf8JsonWriter> members) => Text(_line, json =>
    {
        json.WriteStartObject();
        members(json);
        json.WriteEndObject();
    });

    private static string Text(JsonWriterOptions options, Action<Utf8JsonWriter> write)
    {
        ArrayBufferWriter<byte> buffer = new();
        using (Utf8JsonWriter json = new(buffer, options))
        {
            write(json);
        }

        return Encoding.UTF8.GetString(buffer.WrittenSpan);
    }
}
