using System.CommandLine;
using System.Text;
using System.Text.Json;
using CaliperStation.Core.Correcting;
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
        GivenFile.Write(path, bytes, options.Overwrite, "say --overwrite, or another name with --to");
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
        Argument<string> id = TagArgument("RECORD", "A record, or a tag for the last record of that blouse.");
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

/// <summary>What <c>template</c> was asked.</summary>
/// <param name="Standard">The standard's file; null for the demonstration.</param>
/// <param name="Answers">What the blouse carries.</param>
/// <param name="Measured">A record, or a tag for the last record of that blouse, whose places are taken; null for the nominal places.</param>
/// <param name="On">Only what stands on this landmark; null for all.</param>
/// <param name="Bar">What the printer's bar across measured; null for a true printer.</param>
/// <param name="BarUp">The same of the upright bar; null: as the bar across.</param>
/// <param name="Store">Where the store is; null for the usual place.</param>
internal sealed record TemplateOptions(string? Standard, IReadOnlyList<string> Answers, string? Measured, string? On, string? Bar, string? BarUp, string? Store);

/// <summary><c>template STANDARD</c>: the backings at true size.</summary>
internal static class TemplateCommand
{
    internal static Command Command(TextWriter output, TextWriter error)
    {
        Argument<string?> file = new("STANDARD") { Description = "The placement standard; without it the demonstration.", Arity = ArgumentArity.ZeroOrOne };
        Option<string[]> answer = AnswerOption();
        Option<string?> measured = TextOption("--measured", "RECORD", "Takes the places as this record measured them; a record, or a tag for the last record of that blouse.");
        Option<string?> on = TextOption("--on", "LANDMARK", "Only the backing of what stands on this place of the garment.");
        Option<string?> bar = TextOption("--scale-bar", "LENGTH", "What the 100 mm bar across measures on a sheet your printer printed, such as 99.6 mm: everything is drawn so much larger or smaller.");
        Option<string?> barUp = TextOption("--scale-bar-up", "LENGTH", "The same of the upright bar, where it differs.");
        PaperOptionSet paper = new(formats: false);
        Option<bool> json = JsonOption();
        Option<string?> store = StoreOption();
        Command command = new("template", "Makes a cutting template at true size: the one-piece backing under the items, with holes for their pins.") { file, answer, measured, on, bar, barUp, json, store };
        paper.AddTo(command);
        command.Validators.Add(result =>
        {
            if (result.GetValue(barUp) is not null && result.GetValue(bar) is null)
            {
                result.AddError("--scale-bar-up goes with --scale-bar.");
            }

            if (result.GetValue(measured) is not null && result.GetResult(answer) is { Implicit: false })
            {
                result.AddError("--measured takes the record's own answers; leave --answer out.");
            }
        });
        command.SetAction(parsed => Run(
            new TemplateOptions(parsed.GetValue(file), parsed.GetValue(answer) ?? [], parsed.GetValue(measured), parsed.GetValue(on), parsed.GetValue(bar), parsed.GetValue(barUp), parsed.GetValue(store)),
            paper.Of(parsed, json), output, error));
        return command;
    }

    internal static int Run(TemplateOptions options, PaperOptions paper, TextWriter output, TextWriter error)
    {
        ScaleBars bars = options.Bar is { } bar ? new ScaleBars(Bar(bar, "--scale-bar"), Bar(options.BarUp ?? bar, options.BarUp is null ? "--scale-bar" : "--scale-bar-up")) : ScaleBars.Exact;
        Plan plan = StandardCommands.PlanOf(options.Standard, options.Answers);
        string places = "nominal places";
        IReadOnlyList<ItemPose> poses = [];
        List<string> notes = [];
        int result = ExitCode.Good;
        if (options.Measured is { } id)
        {
            using Store store = StoreLook.Open(options.Store, error);
            FiledRecord found = RecordsShow.Find(store, id);
            Record record = found.Sealed!.Record!;
            string safe = PrintableText.Escape(record.Id);
            if (RecordChain.VerifyOne(found, store.Known.All).FirstOrDefault() is { } fault)
            {
                throw new StationException(ExitCode.Store, $"No template is made: {fault.Words}.");
            }

            if (record.Standard.Sha256 != plan.Standard.Sha256)
            {
                throw new StationException(ExitCode.Usage, $"Record {safe} was judged by another standard, or another edition of this one: {PrintableText.Escape(record.Standard.Name)}, edition {PrintableText.Escape(record.Standard.Edition)}.");
            }

            plan = Plan.For(plan.Standard, record.Answers);
            poses = ItemPoses.Of(plan, record.Readings.DistinctBy(reading => reading.Step).ToDictionary(reading => reading.Step, reading => Agreement.Measured(record, reading)));
            places = $"places as measured in record {record.Id}{(record.IsPractice ? ", PRACTICE" : "")}";
            notes.AddRange(plan.Items.Select(item => (Item: item, Pose: poses.FirstOrDefault(pose => pose.Item == item.Id)))
                .Where(each => each.Pose is null || each.Pose.Unseen.Count > 0)
                .Select(each => $"{PrintableText.Escape(each.Item.Name)}: {(each.Pose is null ? "not measured" : $"no reading sees its {string.Join(" and ", each.Pose.Unseen)}")}; it is drawn in its nominal place there."));
            result = StoreLook.Result(store);
        }

        IReadOnlyList<BackingOutline> backings = BackingOutline.Of(plan, poses);
        if (options.On is { } on)
        {
            string[] known = [.. backings.Select(backing => PrintableText.Escape(backing.Landmark))];
            backings = [.. backings.Where(backing => backing.Landmark == on)];
            if (backings.Count == 0)
            {
                throw new StationException(ExitCode.Usage, $"Nothing stands on \"{PrintableText.Escape(on)}\"; say one of: {string.Join(", ", known)}.");
            }
        }

        if (backings.Count == 0)
        {
            throw new StationException(ExitCode.Usage, "This standard places no item: there is nothing to cut a backing for.");
        }

        PaperSettings settings = paper.Settings(PaperOptions.Usual(plan.Standard, small: false));
        IReadOnlyList<TemplateSheet> sheets = TemplatePaper.Of(plan.Standard, backings, places, bars, settings);
        notes.AddRange(backings.Where(backing => backing.Pieces.Count > 1).Select(backing =>
            FormattableString.Invariant($"The backing of {PrintableText.Escape(backing.Landmark)} falls into {backing.Pieces.Count} pieces; a larger bridge or margin in backing = {{ … }} of that [[landmark]] joins them.")));
        notes.Add(bars.Words is { } words ? $"Everything is {words}." : "Measure both 100 mm bars on the sheet before you cut; --scale-bar sets a printer right that is a little off.");
        notes.Add(Cautions.Blades);
        PaperOutput.Write(
            PdfFile.Of(sheets, settings.Size, $"{plan.Standard.Name}: backing template"), settings.Size, $"template-{plan.Standard.Name}", paper, output,
            json =>
            {
                json.WriteNumber("sheets", sheets.Count);
                json.WriteNumber("acrossTimes", (double)ScaleBars.True.Nanometres / bars.Across.Nanometres);
                json.WriteNumber("upTimes", (double)ScaleBars.True.Nanometres / bars.Up.Nanometres);
                json.WriteStartArray("backings");
                foreach (BackingOutline backing in backings)
                {
                    json.WriteStartObject();
                    json.WriteString("on", backing.Landmark);
                    json.WriteNumber("pieces", backing.Pieces.Count);
                    JsonText.Strings(json, "items", backing.Items.Select(item => item.Item.Id));
                    json.WriteEndObject();
                }

                json.WriteEndArray();
                JsonText.Strings(json, "notes", notes);
            },
            notes);
        return result;
    }

    private static Length Bar(string text, string option)
    {
        Length bar = LengthOf(option, text, LengthUnit.Millimetre);
        return ScaleBars.Fault(bar) is { } fault ? throw new StationException(ExitCode.Usage, $"{option}: {fault}.") : bar;
    }
}
