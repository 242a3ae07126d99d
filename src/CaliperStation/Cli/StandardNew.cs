using System.CommandLine;
using System.Globalization;
using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using CaliperStation.Files;
using CaliperStation.Screen;

namespace CaliperStation.Cli;

/// <summary><c>standard new</c>: asks what a company wears and where, on the screen or in lines, and writes its first standard.</summary>
internal static class StandardNew
{
    private const string UsualFile = "my-standard.toml";
    private const string NotOver = "it is not written over: name another file";
    private const int DrawnColumns = 78;
    private const int DrawnRows = 14;

    internal static Command Command(TextWriter output)
    {
        Argument<string> file = new("FILE") { Description = "The file to write; one that is there is not written over without being asked.", DefaultValueFactory = _ => UsualFile };
        Option<bool> example = new("--example") { Description = "Writes the demonstration standard instead of asking." };
        Option<bool> plain = new("--plain") { Description = "Asks in lines, not on the screen." };
        Command command = new("new", "Asks what your company wears and where, and writes a first standard.") { file, example, plain };
        command.SetAction(parsed => parsed.GetValue(example) ? Example(parsed.GetValue(file)!, output) : Ask(parsed.GetValue(file)!, parsed.GetValue(plain), output));
        return command;
    }

    private static int Example(string file, TextWriter output)
    {
        if (Path.Exists(file))
        {
            throw IsThere(file);
        }

        GivenFile.Write(file, StandardSource.Demonstration().Bytes, mayReplace: false, NotOver);
        output.WriteLine($"{PrintableText.Escape(file)}: the demonstration standard, of an invented company.");
        return ExitCode.Good;
    }

    private static StationException IsThere(string file) => new(ExitCode.BadFile, $"{PrintableText.Escape(file)} is there already; {NotOver}.");

    private static int Ask(string file, bool plain, TextWriter output)
    {
        FirstDialogue first = FirstDialogue.Begin(file, Path.Exists(file));
        bool isLines = plain || Console.IsInputRedirected || Console.IsOutputRedirected;
        FirstDialogue last = (isLines ? null : FirstStandardPage.Ask(first)) ?? InLines(first, Console.In, output);
        switch (last.End)
        {
            case FirstEnd.Kept:
                throw IsThere(file);
            case FirstEnd.Open or FirstEnd.Left:
                output.WriteLine("Stopped; nothing was written.");
                return ExitCode.Interrupted;
        }

        byte[] bytes = Encoding.UTF8.GetBytes(last.Text());
        LoadedStandard loaded = StandardSource.FromBytes(bytes, file);
        GivenFile.Write(file, bytes, last.MayReplace == true, NotOver);
        string shown = PrintableText.Escape(file);
        output.WriteLine($"{shown}: written, with {loaded.Standard.Steps.Count.ToString(CultureInfo.InvariantCulture)} readings. Set its sizes and places right, then: caliper-station standard check {shown}; caliper-station standard show {shown}");
        return ExitCode.Good;
    }

    /// <summary>One question a line, one answer a line; the end of input leaves it open.</summary>
    private static FirstDialogue InLines(FirstDialogue dialogue, TextReader input, TextWriter output)
    {
        output.WriteLine($"{FirstDialogue.Opening} Enter takes what stands in brackets, {FirstDialogue.BackWord} goes one question back, {FirstDialogue.StopWord} leaves.");
        string? told = null;
        while (dialogue.Question is { } question)
        {
            if (question.Ask != told)
            {
                told = question.Ask;
                foreach (FirstChoice choice in question.Choices.Where(choice => choice.Words.Length > 0))
                {
                    output.WriteLine($"  {choice.Answer}  {choice.Words}");
                }

                output.Write(question.Note.Length > 0 ? $"  {question.Note}\n" : "");
            }

            output.Write($"{question.Ask}{(question.TakesMany ? " Their numbers, with blanks between them:" : "")} [{question.Usual}] ");
            output.Flush();
            if (input.ReadLine() is not { } line)
            {
                output.WriteLine();
                return dialogue;
            }

            int placed = dialogue.Worn.Count;
            (dialogue, string? refusal) = dialogue.Take(line);
            if (refusal is not null)
            {
                output.WriteLine(refusal);
            }
            else if (dialogue.Worn.Count > placed && !Console.IsOutputRedirected && FirstStandardPage.Drawing(dialogue) is { } drawing)
            {
                output.WriteLine(FrontPainter.Paint(drawing, DrawnColumns, DrawnRows).ToString().TrimEnd());
            }
        }

        return dialogue;
    }
}
