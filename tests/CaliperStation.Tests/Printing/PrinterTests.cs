using CaliperStation.Core.Reports;
using CaliperStation.Files;
using CaliperStation.Printing;

namespace CaliperStation.Tests.Printing;

public sealed class PrinterTests : IDisposable
{
    private readonly TemporaryFolder _place = new();

    public void Dispose() => _place.Dispose();

    [ToolFact("sh")]
    public void The_system_gets_a_list_of_arguments_as_they_are()
    {
        string said = new SystemPrinter(Script("for a in \"$@\"; do echo \"<$a>\"; done")).Print("card $(id) ;x.pdf", PaperSize.Find("a5")!, "press; rm -rf /");

        Assert.Equal($"<-d> <press; rm -rf /> <-o> <print-scaling=none> <-o> <media=iso_a5_148x210mm> <--> <{Path.GetFullPath("card $(id) ;x.pdf")}>", said);
    }

    [ToolTheory("sh")]
    [InlineData(null)]
    [InlineData("")]
    public void Without_a_name_the_system_chooses_the_printer(string? printer)
    {
        Assert.Equal("request id is press-1 (1 file(s))", new SystemPrinter(Script("[ \"$1\" = -o ] && echo 'request id is press-1 (1 file(s))'")).Print("a.pdf", PaperSize.Find("a4")!, printer));
    }

    [ToolFact("sh")]
    public void A_printer_that_refuses_is_told_in_its_own_words_made_safe()
    {
        StationException told = Assert.Throws<StationException>(() => new SystemPrinter(Script("printf 'lp: no such\\033[31m printer\\n' >&2; exit 1")).Print("a.pdf", PaperSize.Find("a4")!, "x"));

        Assert.Equal(ExitCode.Device, told.ExitCode);
        Assert.Contains("lp: no such\\x1B[31m printer", told.Message, StringComparison.Ordinal);
        Assert.Contains("a.pdf", told.Message, StringComparison.Ordinal);   // where it is to be had
    }

    [Fact]
    public void What_is_missing_is_said_where_there_is_no_printing()
    {
        StationException told = Assert.Throws<StationException>(() => new SystemPrinter(Path.Combine(_place.Path, "no-such-program")).Print("a.pdf", PaperSize.Find("a4")!, null));

        Assert.Equal(ExitCode.Device, told.ExitCode);
        Assert.Contains("cups-client", told.Message, StringComparison.Ordinal);
    }

    private string Script(string body)
    {
        string path = Path.Combine(_place.Path, "lp");
        File.WriteAllText(path, $"#!/bin/sh\n{body}\n");
        if (!OperatingSystem.IsWindows())
        {
            File.SetUnixFileMode(path, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
        }

        return path;
    }
}
