using System.CommandLine;
using System.Globalization;
using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Files;
using CaliperStation.Screen;

namespace CaliperStation.Cli;

/// <summary><c>standard new</c>: asks in lines what a company wears and where, and writes its first standard.</summary>
internal static class StandardNew
{
    private const string UsualFile = "my-standard.toml";
    private const string NotOver = "it is not written over: name another file";
    private const int DrawnColumns = 78;
    private const int DrawnRows = 14;

    internal static Command Command(TextWriter output)
    {
        Argument<string> file = new("FILE") { Description = "The file to write; one that is there is never written over.", DefaultValueFactory = _ => UsualFile };
        Option<bool> example = new("--example") { Description = "Writes the demonstration standard instead of asking." };
        Command command = new("new", "Asks what your company wears and where, and writes a first standard.") { file, example };
        command.SetAction(parsed => parsed.GetValue(example) ? Example(parsed.GetValue(file)!, output) : new Dialogue(Console.In, output).Run(parsed.GetValue(file)!));
        return command;
    }

    private static int Example(string file, TextWriter output)
    {
        RefuseExisting(file);
        Write(file, StandardSource.Demonstration().Bytes);
        output.WriteLine($"{PrintableText.Escape(file)}: the demonstration standard, of an invented company.");
        return ExitCode.Good;
    }

    private static void RefuseExisting(string file)
    {
        if (Path.Exists(file))
        {
            throw new StationException(ExitCode.BadFile, $"{PrintableText.Escape(file)} is there already; {NotOver}.");
        }
    }

    private static void Write(string file, ReadOnlySpan<byte> bytes) => GivenFile.Write(file, bytes, mayReplace: false, NotOver);

    /// <summary>One question a line, one answer a line; Enter takes what stands in brackets, and what cannot be read is asked again.</summary>
    private sealed class Dialogue(TextReader input, TextWriter output)
    {
        private readonly HashSet<string> _named = [];

        internal int Run(string file)
        {
            RefuseExisting(file);
            output.WriteLine("A first standard, in a few questions. Enter takes what stands in brackets. Sizes and distances that are offered are common ones, starting points only: your company's own rules decide.");
            if (Ask("What is the standard called?", "Our company, dress blouse", text => text.Length > 80 || PrintableText.Escape(text) != text ? "Up to 80 characters that can be printed." : null) is not { } name
                || Ask("In which unit are your rules: in, mm or t (ticks of 1/32 in)?", "in", text => text is "in" or "mm" or "t" ? null : "in, mm or t.") is not { } unit
                || Length("How far off is still right, plus or minus?", "1/32 in", unit) is not { } within
                || Worn(unit) is not { } worn)
            {
                output.WriteLine("Stopped; nothing was written.");
                return ExitCode.Interrupted;
            }

            byte[] bytes = Encoding.UTF8.GetBytes(FirstStandard.Text(name, unit, within, worn));
            LoadedStandard loaded = StandardSource.FromBytes(bytes, file);
            Write(file, bytes);
            string shown = PrintableText.Escape(file);
            output.WriteLine($"{shown}: written, with {loaded.Standard.Steps.Count.ToString(CultureInfo.InvariantCulture)} readings. Set its sizes and places right, then: caliper-station standard check {shown}; caliper-station standard show {shown}");
            return ExitCode.Good;
        }

        private List<WornThing>? Worn(string unit)
        {
            output.WriteLine("What is worn?");
            foreach ((CommonThing thing, int at) in CommonThing.All.Select((thing, at) => (thing, at)))
            {
                output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"  {at + 1}  {thing.Name}{(thing.BothSides ? ", and the right one" : "")}"));
            }

            if (Ask("Their numbers, with blanks between them:", "1 3", text => Numbers(text) is null ? string.Create(CultureInfo.InvariantCulture, $"Numbers from 1 to {CommonThing.All.Count}, each once.") : null) is not { } chosen)
            {
                return null;
            }

            List<WornThing> worn = [];
            foreach (CommonThing thing in Numbers(chosen)!.Order().Select(number => CommonThing.All[number - 1]))
            {
                bool stands = worn.Exists(one => one.Thing.Name == thing.On) || !CommonThing.All.Any(other => other.Name == thing.On);
                string usual = stands ? thing.On : "left pocket";   // without a rack a badge sits where the rack would
                if (Ask($"{ShownAs(thing)}: what does it sit by?", usual, text => Place(thing, text, worn) ?? Unusual(text)) is not { } on
                    || Length($"{ShownAs(thing)}: {string.Format(CultureInfo.InvariantCulture, thing.HowFar, on).ToLowerInvariant()}", thing.Distance, unit) is not { } distance)
                {
                    return null;
                }

                worn.Add(new WornThing(thing, on, distance));
                Draw(unit, worn);
            }

            return worn;
        }

        /// <summary>The coat as it is by now, where somebody looks at it.</summary>
        private void Draw(string unit, List<WornThing> worn)
        {
            if (Console.IsOutputRedirected || StandardText.Load(FirstStandard.Text("a coat", unit, "1/32 in", worn)).Standard is not { } standard)
            {
                return;
            }

            Plan plan = Plan.For(standard, new Dictionary<string, string>());
            SittingView view = SittingView.Of(Sitting.Begin(plan, new SittingEvent.Started("", "coat", "", "", plan.Answers) { At = default }));
            output.WriteLine(FrontPainter.Paint(FrontPresenter.Of(view, new Prompt.Sign(), []), DrawnColumns, DrawnRows).ToString().TrimEnd());
        }

        private static string ShownAs(CommonThing thing) => char.ToUpperInvariant(thing.Name[0]) + thing.Name[1..];

        private static string? Place(CommonThing thing, string on, List<WornThing> worn) =>
            FirstStandard.NameFault(on)
            ?? (on == thing.Name ? "It cannot sit by itself."
            : thing.BothSides && !on.Split(' ').Contains("left") ? "The place of the left one, with the word left: the right one is mirrored."
            : CommonThing.All.Any(other => other.Name == on) && !worn.Exists(one => one.Thing.Name == on) ? "That is not worn, or comes later."
            : thing.On.EndsWith("corner", StringComparison.Ordinal) && !on.EndsWith("corner", StringComparison.Ordinal) ? "A corner, such as \"left collar corner\"."
            : null);

        /// <summary>A place that nobody named yet is asked about once: it may be a slip.</summary>
        private string? Unusual(string on)
        {
            string[] usual = [.. CommonThing.All.Select(thing => thing.On).Concat(CommonThing.All.Select(thing => thing.Name)).Append("left pocket").Distinct()];
            return usual.Contains(on) || !_named.Add(on) ? null : $"There is no usual place \"{PrintableText.Escape(on)}\"; usual are: {string.Join(", ", usual.Except(CommonThing.All.Select(thing => thing.Name)))}. Say it once more to name one of your own.";
        }

        private static List<int>? Numbers(string text)
        {
            List<int> numbers = [];
            foreach (string part in text.Split([' ', ','], StringSplitOptions.RemoveEmptyEntries))
            {
                if (!int.TryParse(part, NumberStyles.None, CultureInfo.InvariantCulture, out int number) || number < 1 || number > CommonThing.All.Count || numbers.Contains(number))
                {
                    return null;
                }

                numbers.Add(number);
            }

            return numbers.Count == 0 ? null : numbers;
        }

        private string? Length(string question, string usual, string unit) => Ask(question, usual, text => FirstStandard.LengthOf(text, unit) is null ? "A length above 0, such as 1/8, 3.5 mm or 4 t." : null) is { } text
            ? FirstStandard.LengthOf(text, unit)
            : null;

        // Null at the end of input.
        private string? Ask(string question, string usual, Func<string, string?> faultOf)
        {
            while (true)
            {
                output.Write($"{question} [{usual}] ");
                output.Flush();
                if (input.ReadLine() is not { } line)
                {
                    output.WriteLine();
                    return null;
                }

                string answer = line.Trim().Length == 0 ? usual : line.Trim();
                if (faultOf(answer) is not { } fault)
                {
                    return answer;
                }

                output.WriteLine(fault);
            }
        }
    }
}
