using System.Text.RegularExpressions;
using Tomlyn;
using Tomlyn.Parsing;
using Tomlyn.Syntax;

namespace CaliperStation.Core.Standards;

/// <summary>Parses TOML text; where it is not TOML, says so once, blanks the entry at fault and goes on with the rest.</summary>
/// <remarks>
/// The parser's own recovery goes on in the middle of the line, so that one missing quote turns every later text inside
/// out and each line becomes a fault. Here only its first fault counts; then the entry that made it is blanked, line
/// numbers stay, and the text is parsed again.
/// </remarks>
internal static partial class TomlRecovery
{
    // Each fault costs one more parse; a large text of junk is given up sooner.
    private const int MostPasses = 50;
    private const int MostCharacters = 4_000_000;

    internal static DocumentSyntax? Parse(string toml, FaultList faults)
    {
        string[] lines = toml.Split('\n');
        int passes = Math.Clamp(MostCharacters / Math.Max(toml.Length, 1), 1, MostPasses);
        for (int pass = 0; pass < passes; pass++)
        {
            (DocumentSyntax? document, TextPlace place, string? message) = Once(string.Join('\n', lines));
            if (message is null)
            {
                return document;
            }

            faults.AddSyntax(place, $"this is not TOML: {FaultList.Shown(message, 200)}", "key = value on one line, texts in \"quotes\", lists in [brackets] with commas");
            if (!Blank(lines, Math.Clamp(place.Line - 1, 0, lines.Length - 1), place.Column))
            {
                return null;
            }
        }

        return null;
    }

    private static (DocumentSyntax? Document, TextPlace Place, string? Message) Once(string toml)
    {
        try
        {
            DocumentSyntax document = SyntaxParser.Parse(toml, string.Empty, validate: false);
            return document.Diagnostics.Count == 0 ? (document, default, null) : First(document.Diagnostics);
        }
        catch (TomlException exception)   // nested too deep
        {
            return First(exception.Diagnostics);
        }
        catch (ArgumentException)   // an escape beyond Unicode, such as \UFFFFFFFF, makes the parser throw instead of saying so
        {
            return (null, new TextPlace(LineThatThrows(toml), 1), "an escape names no character");
        }
    }

    private static (DocumentSyntax?, TextPlace, string?) First(DiagnosticsBag diagnostics)
    {
        DiagnosticMessage? first = diagnostics.OrderBy(message => TomlTreeBuilder.PlaceOf(message.Span)).FirstOrDefault();
        return first is null ? (null, new TextPlace(1, 1), "it cannot be read") : (null, TomlTreeBuilder.PlaceOf(first.Span), first.Message);
    }

    private static int LineThatThrows(string toml)
    {
        string[] lines = toml.Split('\n');
        for (int index = 0; index < lines.Length; index++)
        {
            try
            {
                SyntaxParser.Parse(lines[index], string.Empty, validate: false);
            }
            catch (ArgumentException)
            {
                return index + 1;
            }
            catch (TomlException)
            {
                continue;
            }
        }

        return 1;
    }

    /// <summary>Blanks the entry at fault; false when there was nothing left to blank.</summary>
    private static bool Blank(string[] lines, int at, int column)
    {
        int first = at, last = at;
        bool startsHere = column <= lines[at].Length - lines[at].TrimStart().Length + 1;
        if (IsStart(lines[at]) && startsHere)
        {
            first = StartBefore(lines, at);   // the entry above was never closed
            last = Math.Max(at - 1, first);
        }
        else if (!IsStart(lines[at]))
        {
            first = StartBefore(lines, at);
        }

        bool header = lines[first].TrimStart().StartsWith('[');
        while (last + 1 < lines.Length && !(header ? IsHeader(lines[last + 1]) : IsStart(lines[last + 1])))
        {
            last++;   // what a broken header is over, or the rest of a list
        }

        bool any = false;
        for (int line = first; line <= last; line++)
        {
            any |= lines[line].Trim().Length > 0;
            lines[line] = string.Empty;
        }

        return any;
    }

    private static int StartBefore(string[] lines, int at)
    {
        for (int line = at - 1; line >= 0; line--)
        {
            if (IsStart(lines[line]))
            {
                return line;
            }
        }

        return at;
    }

    private static bool IsHeader(string line) => Header().IsMatch(line);

    private static bool IsStart(string line) => IsHeader(line) || Key().IsMatch(line);

    // A header, even one that was not closed; a list's continuation opens with a quote or a digit.
    [GeneratedRegex(@"^\s*\[{1,2}\s*[A-Za-z_]")]
    private static partial Regex Header();

    [GeneratedRegex(@"^\s*[A-Za-z0-9_.""'-]+\s*=")]
    private static partial Regex Key();
}
