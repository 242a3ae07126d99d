using System.Buffers;
using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;

namespace CaliperStation.Core.Quantities;

/// <summary>JSON as text, one object on one line. No control or format character reaches a terminal, whatever the text is.</summary>
public static class JsonText
{
    private static readonly JsonWriterOptions _line = new() { Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };   // for terminals and pipes, not for web pages: a plus stays a plus

    /// <summary>One object on one line, without a line feed.</summary>
    /// <param name="members">Writes its members.</param>
    public static string Object(Action<Utf8JsonWriter> members)
    {
        ArrayBufferWriter<byte> buffer = new();
        using (Utf8JsonWriter json = new(buffer, _line))
        {
            json.WriteStartObject();
            members(json);
            json.WriteEndObject();
        }

        return PrintableText.EscapeJson(Encoding.UTF8.GetString(buffer.WrittenSpan));
    }

    /// <summary>One object a line, each line with its line feed: how every list and stream is printed.</summary>
    /// <param name="items">What is listed.</param>
    /// <param name="members">Writes the members of one.</param>
    internal static string Lines<T>(IEnumerable<T> items, Action<Utf8JsonWriter, T> members) =>
        string.Concat(items.Select(item => Object(json => members(json, item)) + "\n"));

    /// <summary>Reads one JSON text; null where it is none, or not what <paramref name="read"/> looks for: the text is as untrusted as any file.</summary>
    /// <param name="text">The text.</param>
    /// <param name="read">Takes the members; what it throws for a missing, doubled or ill-typed one counts as null.</param>
    /// <param name="maxDepth">How deep it may be nested; 0 for 64.</param>
    public static T? Read<T>(string text, Func<JsonElement, T?> read, int maxDepth = 0) where T : class
    {
        try
        {
            using JsonDocument document = JsonDocument.Parse(text, new JsonDocumentOptions { MaxDepth = maxDepth });
            return read(document.RootElement);
        }
        catch (Exception fault) when (IsFault(fault))
        {
            return null;
        }
    }

    /// <summary>True for what a JSON document and its elements throw where the text is broken, or a member is missing, doubled or ill-typed.</summary>
    public static bool IsFault(Exception e) => e is JsonException or KeyNotFoundException or InvalidOperationException or FormatException or OverflowException or ArgumentException;

    /// <summary>A member that is a text.</summary>
    /// <exception cref="KeyNotFoundException">There is none.</exception>
    /// <exception cref="InvalidOperationException">It is no text.</exception>
    /// <exception cref="FormatException">It is null.</exception>
    public static string TextOf(JsonElement element, string name) => TextOf(element.GetProperty(name));

    /// <inheritdoc cref="TextOf(JsonElement, string)"/>
    public static string TextOf(JsonElement value) => value.GetString() ?? throw new FormatException("null is no text");

    /// <summary>Writes a list of texts.</summary>
    public static void Strings(Utf8JsonWriter json, string name, IEnumerable<string> texts)
    {
        json.WriteStartArray(name);
        foreach (string text in texts)
        {
            json.WriteStringValue(text);
        }

        json.WriteEndArray();
    }

    /// <summary>Writes a list of objects.</summary>
    /// <param name="json">Where.</param>
    /// <param name="name">Its name.</param>
    /// <param name="items">What is listed.</param>
    /// <param name="members">Writes the members of one.</param>
    internal static void Objects<T>(Utf8JsonWriter json, string name, IEnumerable<T> items, Action<T> members)
    {
        json.WriteStartArray(name);
        foreach (T item in items)
        {
            json.WriteStartObject();
            members(item);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }

    /// <summary>Writes a number, or null where there is none.</summary>
    internal static void Number(Utf8JsonWriter json, string name, double? number)
    {
        if (number is { } known)
        {
            json.WriteNumber(name, known);
        }
        else
        {
            json.WriteNull(name);
        }
    }

    /// <summary>Writes what a blouse carries, by the questions' ids in their order.</summary>
    internal static void Answers(Utf8JsonWriter json, IReadOnlyDictionary<string, string> answers)
    {
        json.WriteStartObject("answers");
        foreach ((string question, string answer) in answers.OrderBy(pair => pair.Key, StringComparer.Ordinal))
        {
            json.WriteString(question, answer);
        }

        json.WriteEndObject();
    }
}
