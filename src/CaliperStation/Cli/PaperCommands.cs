using System.CommandLine;
using System.Text;
using System.Text.Json;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Standards;
using CaliperStation.Files;
using CaliperStation.Printing;
using CaliperStation.Storage;
using static CaliperStation.Cli.CommandLine;
using Record = CaliperStation.Core.Records.Record;

namespace CaliperStation.Cli;

/// <summary>How a paper was asked for.</summary>
/// <param name="Html">HTML instead of PDF.</param>
/// <param name="Paper">The sheet; null for the usual one.</param>
/// <param name="To">The file; null for one named after what is in it.</param>
/// <param name="Overwrite">A file that is there may go.</param>
/// <param name="Print">Print it: a printer's name, or empty for the system's choice; null: do not.</param>
/// <param name="Json">The result as JSON.</param>
internal sealed record PaperOptions(bool Html, PaperSize? Paper, string? To, bool Overwrite, string? Print, bool Json)
{
    /// <summary>What the document is made for.</summary>
    /// <param name="usual">The sheet where none was asked for.</param>
    internal PaperSettings Settings(PaperSize usual) => new(Paper ?? usual, PaperFont.Width, TimeZoneInfo.Local);

    /// <summary>The usual sheet: of the family that the standard's unit is at home with.</summary>
    internal static PaperSize Usual(Standard? standard, bool small) => PaperSize.Find((standard?.Unit, small) switch
    {
        (LengthUnit.Inch, true) => "half-letter",
        (LengthUnit.Inch, false) => "letter",
        (_, true) => "a5",
        (_, false) => "a4",
    })!;
}

/// <summary>The options that every paper has.</summary>
internal sealed class PaperOptionSet
{
    private readonly Option<string?>? _format;
    private readonly Option<string?> _paper = TextOption("--paper", "SIZE", "The sheet: a5, half-letter, a4 or letter.");
    private readonly Option<string?> _to = TextOption("--to", "FILE", "The file to write, instead of one named after what is in it.");
    private readonly Option<bool> _overwrite = new("--overwrite") { Description = "Writes over a file that is there." };
    private readonly Option<string?> _print = new("--print") { Description = "Hands the PDF to the system's printing, to this printer or to its own choice.", HelpName = "PRINTER", Arity = ArgumentArity.ZeroOrOne };

    /// <summary>The options.</summary>
    /// <param name="formats">PDF or HTML can be asked for; else it is a PDF.</param>
    internal PaperOptionSet(bool formats = true)
    {
        _paper.AcceptOnlyFromAmong([.. PaperSize.All.Select(size => size.Word)]);
        if (formats)
        {
            _format = TextOption("--format", "pdf|html", "PDF, which prints at true size, or HTML.");
            _format.AcceptOnlyFromAmong("pdf", "html");
        }
    }

    internal void AddTo(Command command)
    {
        foreach (Option option in ((Option?[])[_format, _paper, _to, _overwrite, _print]).OfType<Option>())
        {
            command.Add(option);
        }

        command.Validators.Add(result =>
        {
            if (_format is not null && result.GetValue(_format) == "html" && result.GetResult(_print) is not null)
            {
                result.AddError("--print takes the PDF; leave --format html out.");
            }
        });
    }

    /// <summary>True when a format was asked for, or anything that only a file has.</summary>
    internal bool IsAsked(ParseResult parsed) => (_format is not null && parsed.GetValue(_format) is not null) || parsed.GetValue(_paper) is not null || parsed.GetValue(_to) is not null || parsed.GetResult(_print) is not null;

    internal PaperOptions Of(ParseResult parsed, Option<bool> json) => new(
        _format is not null && parsed.GetValue(_format) == "html",
        parsed.GetValue(_paper) is { } paper ? PaperSize.Find(paper) : null,
        parsed.GetValue(_to),
        parsed.GetValue(_overwrite),
        parsed.GetResult(_print) is null ? null : parsed.GetValue(_print) ?? "",
        parsed.GetValue(json));
}

/// <summary>Writes papers, prints them, and says what was done.</summary>
internal static class PaperOutput
{
    private const int LongestName = 100;

    /// <summary>A document as a file.</summary>
    /// <param name="document">The document.</param>
    /// <param name="paper">Its sheet.</param>
    /// <param name="name">What its file is called where no name was asked for, without what stands behind the point.</param>
    /// <param name="options">What was asked.</param>
    /// <param name="output">Where the result is told.</param>
    /// <param name="more">What else the JSON says.</param>
    internal static void Document(PaperDocument document, PaperSize paper, string name, PaperOptions options, TextWriter output, Action<Utf8JsonWriter>? more = null) => Write(
        options.Html ? Encoding.UTF8.GetBytes(PaperHtml.Of(document, paper)) : PdfPaper.Of(document, paper), paper, name, options, output, more, []);

    /// <summary>Bytes as a file.</summary>
    /// <param name="bytes">The file's bytes.</param>
    /// <param name="paper">Its sheet.</param>
    /// <param name="name">What it is called where no name was asked for, without what stands behind the point.</param>
    /// <param name="options">What was asked.</param>
    /// <param name="output">Where the result is told.</param>
    /// <param name="more">What else the JSON says.</param>
    /// <param name="notes">What a person is told beside.</param>
    /// <exception cref="StationException">Exit 3: the file is there already, or cannot be written; 4: it cannot be printed.</exception>
    internal static void Write(byte[] bytes, PaperSize paper, string name, PaperOptions options, TextWriter output, Action<Utf8JsonWriter>? more, IReadOnlyList<string> notes)
    {
        string extension = options.Html ? "html" : "pdf";
        string path = options.To ?? $"{FileName(name)}.{extension}", shown = PrintableText.Escape(path);
        try
        {
            using FileStream file = new(path, options.Overwrite ? FileMode.Create : FileMode.CreateNew, FileAccess.Write, FileShare.Read);
            file.Write(bytes);
        }
        catch (IOException) when (!options.Overwrite && File.Exists(path))
        {
            throw new StationException(ExitCode.BadFile, $"{shown} is there already; say --overwrite, or another name with --to.");
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            throw new StationException(ExitCode.BadFile, $"{shown} cannot be written: {PrintableText.Escape(fault.Message)}", fault);
        }

        string? printed = options.Print is { } printer ? new SystemPrinter().Print(path, paper, printer) : null;
        if (options.Json)
        {
            output.WriteLine(JsonText.Object(json =>
            {
                json.WriteString("file", path);
                json.WriteString("format", extension);
                json.WriteString("paper", paper.Word);
                json.WriteString("printed", printed);
                more?.Invoke(json);
            }));
            return;
        }

        output.WriteLine($"{shown} is written, for {paper.Word} paper.{(options.Html ? "" : " Print it at 100 %.")}");
        foreach (string note in notes)
        {
            output.WriteLine(note);
        }

        if (printed is not null)
        {
            output.WriteLine($"Printed: {printed}");
        }
    }

    /// <summary>A name that every file system takes: what a text has of letters, digits, points, hyphens and underscores.</summary>
    internal static string FileName(string text)
    {
        string plain = string.Concat(text.Select(c => char.IsAsciiLetterOrDigit(c) || c is '.' or '-' or '_' ? c : '-')).TrimStart('.', '-');
        return plain.Length <= LongestName ? plain : plain[..LongestName];
    }
}

/// <summary><c>card RECORD</c>: what a record says, on a card for the bag.</summary>
internal static class CardCommand
{
    internal static Command Command(TextWriter output, TextWriter error)
    {
        Argument<string> id = new("RECORD") { Description = "A record, or a tag for the last record of that blouse." };
        id.CompletionSources.Add(_ => Tags());
        PaperOptionSet paper = new();
        Option<bool> json = JsonOption();
        Option<string?> store = StoreOption();
        Command command = new("card", "Makes the card of a record: its picture with every gap, its verdicts, and a code by which the record can be checked.") { id, json, store };
        paper.AddTo(command);
        command.SetAction(parsed => Run(parsed.GetValue(id)!, parsed.GetValue(store), paper.Of(parsed, json), output, error));
        return command;
    }

    /// <summary>Ends with 5, and makes no card, when the record does not hold.</summary>
    internal static int Run(string id, string? folder, PaperOptions options, TextWriter output, TextWriter error)
    {
        using Store store = StoreLook.Open(folder, error);
        FiledRecord found = RecordsShow.Find(store, id);
        SealedRecord seal = found.Sealed!;
        Record record = seal.Record!;
        string safe = PrintableText.Escape(record.Id);
        if (RecordChain.VerifyOne(found, store.Known.All).FirstOrDefault() is { } fault)
        {
            throw new StationException(ExitCode.Store, $"No card is made: {fault.Words}.");
        }

        RecordCard card = RecordCard.Of(seal) ?? throw new StationException(ExitCode.Store, $"No card is made: the seal of record {safe} is not of this program's making.");
        Standard? standard = StoreLook.StandardOf(store, record);
        Record? first = record.OfRecord is { } of ? store.Records.Find(of)?.Sealed?.Record : null;
        PaperSettings settings = options.Settings(PaperOptions.Usual(standard, small: true));
        PaperDocument document = CardPaper.Of(seal, record, first, standard, ScanCode.Of(card.Text), settings);
        PaperOutput.Document(document, settings.Size, $"card-{record.Id}", options, output, json =>
        {
            json.WriteString("record", record.Id);
            json.WriteString("code", card.Text);
        });
        return StoreLook.Result(store);
    }
}
